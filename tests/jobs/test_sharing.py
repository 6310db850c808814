"""Jobs as one file: out and in again alike, and refused whole where anything is wrong with it."""

from __future__ import annotations

import hashlib
import json
import shutil
import subprocess
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Answered, Teardown, run_teardown


@pytest.fixture
def share(teardown: Teardown, write_remarks: Callable[..., Path], tmp_path: Path) -> Path:
    """Give a share of one job with three remarks and a mend."""
    teardown("new", "2041", "--machine", "winch", "--plate", "W-7", "--reading", "1860 h")
    teardown("add", "2041", write_remarks("Drum bearing is cracked.", "Pawl's off.", "No rust on the shaft."))
    teardown("mend", "2041", "2", "--text", "Pawl's off. Tip is chipped.", "--person", "Maren")
    path = tmp_path / "job.zip"
    assert teardown("share", "export", path, "2041").status == 0
    return path


def other(tmp_path: Path, *arguments: str | Path) -> Answered:
    """Run the command line on another bench."""
    return run_teardown(*arguments, shop=tmp_path / "other")


def log_of(answer: Answered) -> object:
    return {k: v for k, v in answer.json.items() if k != "job"}


def test_a_job_comes_out_as_it_went_in_and_twice_changes_nothing(
    share: Path, teardown: Teardown, tmp_path: Path
) -> None:
    assert other(tmp_path, "share", "import", share).status == 0
    assert log_of(other(tmp_path, "log", "2041", "--json")) == log_of(teardown("log", "2041", "--json"))
    again = other(tmp_path, "share", "import", share)
    assert "0 rows and 0 files are new" in again.out
    back = tmp_path / "back.zip"
    other(tmp_path, "share", "export", back, "2041")
    assert back.read_bytes() == share.read_bytes()


def test_two_people_s_mends_are_both_kept(share: Path, teardown: Teardown, tmp_path: Path) -> None:
    other(tmp_path, "share", "import", share)
    other(tmp_path, "mend", "2041", "3", "--text", "No rust on the shaft, it's bent.", "--person", "Joss")
    back = tmp_path / "back.zip"
    other(tmp_path, "share", "export", back, "2041")
    assert teardown("share", "import", back).status == 0
    texts = [r["text"] for r in teardown("log", "2041", "--json").json["remarks"]]
    assert texts[1:] == ["Pawl's off. Tip is chipped.", "No rust on the shaft, it's bent."]


def test_two_jobs_of_one_number_stay_two(share: Path, tmp_path: Path) -> None:
    other(tmp_path, "new", "2041", "--machine", "lathe")
    assert other(tmp_path, "share", "import", share).status == 0
    from notebook.jobs.opening import open_archive
    from notebook.shop import open_shop

    with open_archive(open_shop(tmp_path / "other")) as archive:
        assert len(archive.find_jobs("2041")) == 2


def remade(share: Path, change: Callable[[dict[str, bytes]], None], *, sums: bool = True) -> Path:
    """Make the share again with something changed in it, its hashes put right unless they are what is wrong."""
    with zipfile.ZipFile(share) as old:
        files = {n: old.read(n) for n in old.namelist()}
    change(files)
    if sums:
        files["files.sha256"] = "".join(
            f"{hashlib.sha256(c).hexdigest()}  {n}\n" for n, c in sorted(files.items()) if n != "files.sha256"
        ).encode()
    path = share.with_name("changed.zip")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name, content in files.items():
            new.writestr(name, content)
    return path


def table(files: dict[str, bytes], name: str) -> str:
    return next(n for n in files if n.endswith(f"/{name}.jsonl"))


def set_field(name: str, field: str, value: object) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        where = table(files, name)
        rows = [json.loads(line) | {field: value} for line in files[where].splitlines()]
        files[where] = "".join(json.dumps(r) + "\n" for r in rows).encode()

    return change


def climb_out(files: dict[str, bytes]) -> None:
    files["jobs/../../evil.txt"] = b"x"


def newer(files: dict[str, bytes]) -> None:
    files["share.json"] = json.dumps(json.loads(files["share.json"]) | {"format": 99}).encode()


def swell(files: dict[str, bytes]) -> None:
    job = table(files, "job").rsplit("/", 1)[0]
    files[f"{job}/sound/{'a' * 64}.ogg"] = b"\0" * 50_000_000
    files["files.sha256"] = b""


@pytest.mark.parametrize(
    ("change", "keeps_sums", "said"),
    [
        (climb_out, True, "a file that belongs in no share"), (newer, True, "is of a newer format (99"), (swell, False, "its list does not name"),
        (set_field("remark", "text", "forged"), False, "has a wrong hash"), (set_field("remark", "job_id", "another"), True, "of another job"),
        (set_field("remark", "text); DROP TABLE remark; --", "x"), True, "fields that are not known"), (set_field("job", "id", "../../etc"), True, "nothing was taken in"),
        (set_field("remark", "text", None), True, "does not hang together"), (lambda files: files.pop("share.json"), True, "is no share"),
        (set_field("word", "remark_id", "nobody"), True, "Jobs 2041"),
    ],
)  # fmt: skip
def test_a_share_that_is_wrong_is_refused_whole(
    share: Path, tmp_path: Path, change: Callable[[dict[str, bytes]], None], keeps_sums: bool, said: str
) -> None:
    answer = other(tmp_path, "share", "import", remade(share, change, sums=keeps_sums))
    assert said in answer.err + answer.out
    if answer.status:
        assert answer.status == 3
        assert len(answer.err.strip().splitlines()) == 1
        assert other(tmp_path, "log", "2041").status == 1
        assert not (tmp_path / "evil.txt").exists()
    assert list((tmp_path / "other").glob("tmp*")) == []


def test_a_job_of_another_shop_with_the_same_id_is_refused(share: Path, tmp_path: Path) -> None:
    other(tmp_path, "share", "import", share)
    answer = other(
        tmp_path, "share", "import", remade(share, set_field("job", "opened", "2001-01-01T00:00:00.000000+00:00"))
    )
    assert (answer.status, "has the id of job" in answer.err) == (3, True)


def test_a_file_that_is_no_share_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.zip"
    path.write_bytes(b"not a zip")
    assert other(tmp_path, "share", "import", path).status == 3


@pytest.mark.skipif(
    not (shutil.which("unzip") and shutil.which("sha256sum")),
    reason="unzip and sha256sum are not there (Debian: unzip, coreutils)",
)
def test_it_opens_with_the_usual_tools(share: Path, tmp_path: Path) -> None:
    """As the page on the format says: Debian's unzip and sha256sum; each line of a list is JSON by itself."""
    subprocess.run(["unzip", "-q", share, "-d", tmp_path / "out"], check=True)
    subprocess.run(["sha256sum", "--check", "--quiet", "files.sha256"], cwd=tmp_path / "out", check=True)
    (remarks,) = (tmp_path / "out").glob("jobs/*/remark.jsonl")
    assert (
        next(json.loads(line)["text"] for line in remarks.read_text("utf-8").splitlines()) == "Drum bearing is cracked."
    )
