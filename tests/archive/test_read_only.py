"""An archive that may not be written is told in one line; what is in it stays readable."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from notebook.archive.store import Archive
from notebook.errors import COULD_NOT, NotebookError
from tests.conftest import make_job, make_remark, open_stocked_archive

may_write_anywhere = pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere, so rights cannot be tried; run as a user"
)  # fmt: skip


def test_a_write_that_sqlite_refuses_is_told_and_the_rest_can_be_read(tmp_path: Path) -> None:
    with open_stocked_archive(tmp_path) as archive:
        archive.db.execute("PRAGMA query_only = ON")  # SQLite then refuses as it does on a disk that is read-only
        with pytest.raises(NotebookError) as told:
            archive.add_remark(make_job().id, make_remark("Gear is worn."), source_key="1")
        assert (told.value.exit_status, told.value.message.endswith("nothing was changed.")) == (COULD_NOT, True)
        assert "cannot be written" in told.value.message
        assert archive.all_jobs() == [make_job()]
        archive.db.execute("PRAGMA query_only = OFF")
        assert archive.load_log(make_job()).remarks == ()


@may_write_anywhere
def test_a_folder_without_the_right_to_write_is_told(tmp_path: Path) -> None:
    tmp_path.chmod(0o555)
    try:
        with pytest.raises(NotebookError) as told:
            Archive(tmp_path)
    finally:
        tmp_path.chmod(0o755)
    assert told.value.exit_status == COULD_NOT
    assert "cannot be written" in told.value.message


@may_write_anywhere
def test_a_file_without_the_right_to_write_is_told(tmp_path: Path) -> None:
    open_stocked_archive(tmp_path).close()
    (tmp_path / "archive.db").chmod(0o444)
    with Archive(tmp_path) as archive, pytest.raises(NotebookError, match="cannot be written"):
        archive.close_job(make_job().id, make_job().opened)
