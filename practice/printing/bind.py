"""Many small tagged PDFs into one that is as well tagged, and into a zip of single files."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pikepdf

EPOCH = (1980, 1, 1, 0, 0, 0)  # the earliest a zip knows: the same pages give the same file


def bound(files: Sequence[Path], title: str) -> bytes:
    """The pages of all files in order, each file a bookmark by its own title.

    Every tag stands in one tree under one document. A page names its row of the parent tree by
    /StructParents, and cells of a table name their heads by /ID (ISO 32000-1, 14.7 and 14.8.5.7):
    both are made anew, so that no two files use the same.
    """
    with pikepdf.Pdf.new() as whole:
        tags, rows, bookmarks = pikepdf.Array(), pikepdf.Array(), []
        for number, path in enumerate(files):
            with pikepdf.Pdf.open(path) as more:
                if not number:
                    _begin_like(whole, more, title)
                bookmarks.append((str(more.docinfo["/Title"]), len(whole.pages)))
                for tag in _appended(whole, more, rows, number):
                    tags.append(tag)
        _plant(whole, tags, rows)
        with whole.open_outline() as outline:
            outline.root.extend(pikepdf.OutlineItem(name, page) for name, page in bookmarks)
        made = io.BytesIO()
        whole.save(
            made,
            min_version="1.7",
            object_stream_mode=pikepdf.ObjectStreamMode.generate,
            deterministic_id=True,
        )
    return made.getvalue()


def _begin_like(whole: pikepdf.Pdf, first: pikepdf.Pdf, title: str) -> None:
    """Language, display of the title and the claim of PDF/UA, as WeasyPrint wrote them."""
    for name in ("/Lang", "/MarkInfo", "/ViewerPreferences"):
        whole.Root[name] = whole.copy_foreign(first.make_indirect(first.Root[name]))
    whole.Root.Metadata = whole.copy_foreign(first.Root.Metadata)
    for name in ("/Author", "/Producer"):
        if name in first.docinfo:
            whole.docinfo[name] = first.docinfo[name]
    whole.docinfo["/Title"] = title
    with whole.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
        metadata["dc:title"] = title


def _appended(
    whole: pikepdf.Pdf, more: pikepdf.Pdf, rows: pikepdf.Array, number: int
) -> list[pikepdf.Object]:
    """Takes pages and rows of the parent tree over; what stood under the file's document."""
    old = more.Root.StructTreeRoot
    first_row = len(rows) // 2
    for page in more.pages:
        page.obj.StructParents = int(page.obj.StructParents) + first_row
        for note in page.obj.get("/Annots", []):
            if "/StructParent" in note:
                note.StructParent = int(note.StructParent) + first_row
    for tag in more.objects:
        if isinstance(tag, pikepdf.Dictionary) and tag.get("/Type") == "/StructElem":
            _own_names(tag, number)
    whole.pages.extend(more.pages)  # first, so that the tags find their pages
    tree = whole.copy_foreign(more.make_indirect(old))
    nums = tree.ParentTree.Nums
    for at in range(0, len(nums), 2):
        rows.append(int(nums[at]) + first_row)
        rows.append(nums[at + 1])
    return [tag for document in tree.K for tag in document.K]


def _own_names(tag: pikepdf.Dictionary, number: int) -> None:
    if "/ID" in tag:
        tag.ID = pikepdf.String(f"{number}.{tag.ID}")
    if "/A" in tag and "/Headers" in tag.A:
        tag.A.Headers = pikepdf.Array(
            [pikepdf.String(f"{number}.{head}") for head in tag.A.Headers]
        )


def _plant(whole: pikepdf.Pdf, tags: pikepdf.Array, rows: pikepdf.Array) -> None:
    tree = whole.make_indirect(pikepdf.Dictionary(Type=pikepdf.Name.StructTreeRoot))
    document = whole.make_indirect(
        pikepdf.Dictionary(Type=pikepdf.Name.StructElem, S=pikepdf.Name.Document, P=tree, K=tags)
    )
    for tag in tags:
        tag.P = document
    tree.K = pikepdf.Array([document])
    tree.ParentTree = whole.make_indirect(pikepdf.Dictionary(Nums=rows))
    whole.Root.StructTreeRoot = tree


def packed(files: Sequence[tuple[str, Path]]) -> bytes:
    """A zip of the files under the names given; a PDF is pressed already."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_STORED) as folder:
        for name, path in files:
            folder.writestr(zipfile.ZipInfo(name, EPOCH), path.read_bytes())
    return made.getvalue()
