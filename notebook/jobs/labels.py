"""Makes the labels of a job: a sheet as PDF, and plain text for a label printer.

In: a job, the places that hold its things. Out: files as bytes. Nothing in the archive is changed.
"""

from __future__ import annotations

from collections.abc import Sequence

from notebook.archive.store import Archive
from notebook.documents.labels_sheet import labels_text, make_labels
from notebook.errors import NOTHING_FOUND, NotebookError, Problem, one_line
from notebook.jobs.paperwork import Papers
from notebook.jobs.placing import shop_places
from notebook.log.places import follow_places, plain_place
from notebook.nouns import Job
from notebook.shop import Shop


def label_papers(
    archive: Archive, shop: Shop, job: Job, wanted: Sequence[str] = (), *, paper: str | None = None
) -> Papers:
    """Make the labels of the places of a job, or of those named; raises NotebookError for one that holds nothing of it."""
    from notebook.documents.make_pdf import make_pdf
    from notebook.photos.labels import picture_label, write_label

    log = archive.load_log(job)
    live = shop_places(archive) if job.closed is None else follow_places([log])
    own = {p.name: p for p in live if any(k.job_id == job.id for k in p.things)}
    for name in wanted:
        if plain_place(name) not in own:
            raise NotebookError(
                f"Nothing of job {job.number} is in {one_line(name)}.",
                f"Its places are: {', '.join(own)}." if own else "Say where things are put: \"springs are in bag 7\".", NOTHING_FOUND,
            )  # fmt: skip
    names = [plain_place(name) for name in wanted] or list(own)
    if not names:
        raise NotebookError(
            f"Nothing of job {job.number} was put anywhere.",
            'Say where things are put: "springs are in bag 7".',
            NOTHING_FOUND,
        )
    sheet = make_labels(job, [(own[name], write_label(job.id, name)) for name in dict.fromkeys(names)])
    pictures = {label.file: picture_label(job.id, label.place) for label in sheet.labels}
    files = {"txt": labels_text(sheet).encode()}
    problems: list[Problem] = []
    try:
        size = paper or shop.settings.paper.size
        files["pdf"] = make_pdf("labels", sheet, pictures, {}, paper=size, day=job.opened)
    except NotebookError as error:
        problems.append(Problem(about="PDF", message=error.message.replace("the HTML is made", "the text is made"), remedy=error.remedy))  # fmt: skip
    return Papers(values=sheet, files=files, problems=tuple(problems))
