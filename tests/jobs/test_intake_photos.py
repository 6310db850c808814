"""Photos go into the job once, are linked to what was said, and a taking-in that was cut off is made up for."""

from __future__ import annotations

from pathlib import Path

import pytest

from notebook.archive.store import Archive
from tests.jobs.bench import copy_shop, open_bench, rows_of, write_lines
from tests.photos.pictures import draw_noise, make_exif, save_picture


@pytest.fixture
def camera(tmp_path: Path) -> Path:
    """Give a folder with two photos of the camera and two things that are none."""
    folder = tmp_path / "camera"
    folder.mkdir()
    for n in range(2):
        save_picture(
            folder / f"IMG_{n}.jpg", draw_noise(seed=n), make_exif(original=f"2026:03:04 09:0{n}:20", offset="+00:00")
        )
    (folder / "broken.jpg").write_bytes((folder / "IMG_0.jpg").read_bytes()[:400])
    (folder / "notes.doc").write_bytes(b"x")
    return folder


SAID = [
    f'{{"at": "2026-03-04T09:0{n}:10Z", "seconds": 2, "text": "{part} is cracked. Photo."}}'
    for n, part in enumerate(["Hub", "Drum"])
]


def test_photos_are_taken_once_and_linked(tmp_path: Path, camera: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.take(write_lines(tmp_path / "said.jsonl", *SAID))
        intake = bench.take(camera)
        assert (intake.photos, intake.known_photos) == (2, 0)
        assert [Path(p.about).name for p in intake.problems] == ["broken.jpg"]
        log = bench.log()
        names = {p.id: p.name for p in log.photos}
        assert {names[k.photo_id]: log.remarks[[r.id for r in log.remarks].index(k.remark_id)].text for k in log.links} == {
            "IMG_0.jpg": "Hub is cracked. Photo.", "IMG_1.jpg": "Drum is cracked. Photo.",
        }  # fmt: skip
        assert {p.component: [names[i] for i in p.photo_ids] for p in log.parts} == {
            "hub": ["IMG_0.jpg"],
            "drum": ["IMG_1.jpg"],
        }
        before = rows_of(bench.shop.folder)
        again = bench.take(camera)
        assert (again.photos, again.known_photos, again.remarks) == (0, 2, 0)
        assert rows_of(bench.shop.folder) == before


@pytest.mark.parametrize("call", ["add_photo", "replace_derived", "replace_links", "load_log"])
@pytest.mark.parametrize("when", ["before", "after"])
def test_stopped_anywhere_and_run_again_is_as_if_never_stopped(
    tmp_path: Path, camera: Path, call: str, when: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with open_bench(tmp_path) as bench:
        bench.take(write_lines(tmp_path / "said.jsonl", *SAID))
    copy_shop(tmp_path / "shop", tmp_path / "stopped" / "shop")
    with open_bench(tmp_path) as bench:
        bench.take(camera)
    done = getattr(Archive, call)

    def stop(*given: object, **named: object) -> None:
        if when == "after":
            done(*given, **named)
        raise KeyboardInterrupt

    with open_bench(tmp_path / "stopped") as bench:
        with monkeypatch.context() as patched:
            patched.setattr(Archive, call, stop)
            with pytest.raises(KeyboardInterrupt):
                bench.take(camera)
        intake = bench.take(camera)
        assert intake.photos + intake.known_photos == 2
    assert rows_of(tmp_path / "stopped" / "shop") == rows_of(tmp_path / "shop")


def test_a_link_made_by_hand_stays(tmp_path: Path, camera: Path) -> None:
    with open_bench(tmp_path) as bench:
        bench.take(write_lines(tmp_path / "said.jsonl", *SAID), camera)
        log = bench.log()
        first = next(p for p in log.photos if p.name == "IMG_0.jpg")
        drum = next(r for r in log.remarks if "Drum" in r.text)
        bench.archive.db.execute("UPDATE link SET how = 'hand', remark_id = ? WHERE photo_id = ?", [drum.id, first.id])
        bench.archive.db.conn.commit()
        after = bench.reread()
        assert [(k.remark_id, k.how) for k in after.links if k.photo_id == first.id] == [(drum.id, "hand")]
