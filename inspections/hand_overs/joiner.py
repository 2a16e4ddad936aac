"""Joins PDFs to one, with bookmarks, attachments and the tags of its parts. It imports nothing of the register.

Run as a program (`whole_file.py` does), because a file that somebody attached may be made to exhaust what reads it: a
line of JSON on standard input, the PDF on standard output. Asked with `count`, it says of each PDF how many sheets it
has (None: it cannot be read, or is closed by a password), when it was made and the last part of its title.

Parts of ours are tagged PDF/A-3a and keep their tags; the whole says PDF/A-3a only where each part is ours.
"""

import io
import json
import resource
import sys
from contextlib import ExitStack
from pathlib import Path

import pikepdf
from pikepdf import Array, AttachedFileSpec, Dictionary, Name, OutlineItem, String

MEMORY_BYTES = 2 * 1024**3
CPU_S = 240
PART_LINK = "part:"  # what a front sheet links to, with the number of the part
KEPT_LINKS = ("/URI", "/GoTo")  # nothing else that a file of another hand would do on a click
FURTHER_BOOKMARKS = 300  # of one part


def limit():
    resource.setrlimit(resource.RLIMIT_CPU, (CPU_S, CPU_S))
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def counted(path):
    """{sheets, made, number} of a PDF, or None where it cannot be joined to others."""
    try:
        with pikepdf.open(path) as pdf:
            if pdf.is_encrypted or not len(pdf.pages):
                return None
            for page in pdf.pages:
                page.get("/Contents")
            title = str(pdf.docinfo.get("/Title", ""))
            return {"sheets": len(pdf.pages), "made": str(pdf.docinfo.get("/CreationDate", "")), "title": title}
    except Exception:  # whatever makes a file of another hand unreadable
        return None


def joined(*, front, parts, attached):
    """The bytes of the whole.

    Args:     front: path of the first sheets; parts: [{path, title, folder, is_ours}] in their order; attached:
              [{path, name, media_type, words}].
    """
    with ExitStack() as opened:
        whole = opened.enter_context(pikepdf.open(front))
        tree, starts = _Tags(whole), []
        for number, part in enumerate(parts):
            pdf = opened.enter_context(pikepdf.open(part["path"]))
            starts.append(len(whole.pages))
            _without_fields(pdf, part["is_ours"])
            _links_by_page(pdf)
            if part["is_ours"]:
                tree.make_room(pdf, number)
            whole.pages.extend(pdf.pages)
            if part["is_ours"]:
                tree.take_in(pdf, part["title"])
        tree.close()
        _link_to_parts(whole, starts)
        _bookmark(whole, parts, starts, [pikepdf.open(part["path"]) for part in parts])
        for one in attached:
            _attach(whole, **one)
        _claim(whole, all(part["is_ours"] for part in parts))
        target = io.BytesIO()
        whole.save(target, object_stream_mode=pikepdf.ObjectStreamMode.generate, deterministic_id=True)
        return target.getvalue()


def _without_fields(pdf, is_ours):
    """Shown as it looked: a form, and a signature, which is one of the whole file, cannot outlive the joining."""
    if not is_ours:
        pdf.flatten_annotations()
    for page in pdf.pages:
        if "/AA" in page:
            del page["/AA"]
        if "/Annots" in page:
            page.Annots = Array([one for one in page.Annots if _is_kept(one, is_ours)])


def _is_kept(annotation, is_ours):
    action = annotation.get("/A")
    if "/AA" in annotation or (action is not None and action.get("/S") not in KEPT_LINKS):
        return False
    return annotation.get("/Subtype") == "/Link" or (is_ours and annotation.get("/Subtype") != "/Widget")


def _links_by_page(pdf):
    """Links to a name become links to a sheet: names of two parts may be the same."""
    names = _names_of(pdf)
    for page in pdf.pages:
        for link in page.get("/Annots", ()):
            action = link.get("/A", Dictionary())
            goal = link.get("/Dest") if "/Dest" in link else action.get("/D") if action.get("/S") == "/GoTo" else None
            if isinstance(goal, String | Name):
                found = names.get(str(goal))
                if found is None:
                    continue
                if "/A" in link:
                    del link["/A"]
                link["/Dest"] = found


def _names_of(pdf):
    """{name of a place: [sheet, how it is shown]}"""
    found = {str(key): goal for key, goal in pdf.Root.get("/Dests", Dictionary()).items()}
    tree = pdf.Root.get("/Names", Dictionary()).get("/Dests")
    if tree is not None:
        found |= {str(key): goal for key, goal in pikepdf.NameTree(tree).items()}
    places = {key: goal.get("/D") if isinstance(goal, Dictionary) else goal for key, goal in found.items()}
    return {key: goal for key, goal in places.items() if isinstance(goal, Array)}


class _Tags:
    """The structure of the whole, into which each part's is taken in below an element of its own."""

    def __init__(self, whole):
        self.whole, self.root = whole, whole.Root.StructTreeRoot
        self.places = dict(pikepdf.NumberTree(self.root.ParentTree).items())
        self.ids = dict(_ids(self.root))
        self.kids = list(_list(self.root.K))
        self.next = int(self.root.get("/ParentTreeNextKey", max(self.places, default=-1) + 1))
        self.shift = 0

    def make_room(self, pdf, number):
        """Keys and names of the part become its own, before anything of it is taken."""
        self.shift = self.next
        for one in pdf.objects:
            if isinstance(one, pikepdf.Dictionary | pikepdf.Stream):
                _shift(one, self.shift)
                _rename(one, number)
        for page in pdf.pages:
            for one in page.get("/Annots", ()):
                if not one.is_indirect:
                    _shift(one, self.shift)

    def take_in(self, pdf, title):
        if "/StructTreeRoot" not in pdf.Root:
            return
        root = self.whole.copy_foreign(pdf.Root.StructTreeRoot)
        part = self.whole.make_indirect(
            Dictionary(Type=Name.StructElem, S=Name.Part, P=self.root, T=String(title), K=Array(_list(root.K)))
        )
        for kid in part.K:
            kid.P = part
        self.kids.append(part)
        for key, value in pikepdf.NumberTree(root.ParentTree).items():
            self.places[key + self.shift] = value
        self.next = max(self.places, default=-1) + 1
        self.ids |= dict(_ids(root))
        for name in ("/RoleMap", "/ClassMap"):
            if name in root:
                self.root[name] = Dictionary({**dict(root[name].items()), **dict(self.root.get(name, {}).items())})

    def close(self):
        self.root.K = Array(self.kids)
        for kid in self.kids:
            kid.P = self.root
        nums = [one for key in sorted(self.places) for one in (key, self.places[key])]
        self.root.ParentTree = self.whole.make_indirect(Dictionary(Nums=Array(nums)))
        self.root["/ParentTreeNextKey"] = self.next
        if self.ids:
            names = sorted(self.ids)
            pairs = [one for name in names for one in (String(name), self.ids[name])]
            limits = Array([String(names[0]), String(names[-1])])
            kids = [self.whole.make_indirect(Dictionary(Names=Array(pairs), Limits=limits))]
            self.root.IDTree = self.whole.make_indirect(Dictionary(Kids=Array(kids)))


def _list(value):
    return list(value) if isinstance(value, Array) else [value]


def _ids(root):
    return pikepdf.NameTree(root.IDTree).items() if "/IDTree" in root else ()


def _shift(one, by):
    for key in ("/StructParents", "/StructParent"):
        if key in one:
            one[key] = int(one[key]) + by


def _rename(element, number):
    """An element's name, and the names of head cells that it points to, with the number of the part before it."""
    if "/S" not in element or "/P" not in element:
        return
    if "/ID" in element:
        element.ID = _renamed(element.ID, number)
    for attribute in _list(element.get("/A", Array())):
        if isinstance(attribute, Dictionary) and "/Headers" in attribute:
            attribute.Headers = Array([_renamed(one, number) for one in attribute.Headers])


def _renamed(name, number):
    return String(f"{number}-".encode() + bytes(name))


def _link_to_parts(whole, starts):
    """Lines of the contents lead to their part."""
    for page in list(whole.pages)[: starts[0] if starts else None]:
        for link in page.get("/Annots", ()):
            address = str(link.get("/A", Dictionary()).get("/URI", ""))
            if address.startswith(PART_LINK):
                del link["/A"]
                link["/Dest"] = Array([whole.pages[starts[int(address.removeprefix(PART_LINK))]].obj, Name.Fit])


def _bookmark(whole, parts, starts, sources):
    with whole.open_outline() as outline:
        first = OutlineItem("Contents and register of documents", 0)
        first.children, folders = list(outline.root), {}
        outline.root[:] = [first]
        for part, start, source in zip(parts, starts, sources, strict=True):
            if part["folder"] not in folders:
                folders[part["folder"]] = OutlineItem(part["folder"], start)
                outline.root.append(folders[part["folder"]])
            item = OutlineItem(part["title"], start)
            with source:
                item.children = _bookmarks_of(source, start)
            item.is_closed = True
            folders[part["folder"]].children.append(item)
        first.is_closed = True


def _bookmarks_of(pdf, start):
    """The first storey of a part's own bookmarks, led to the sheets of the whole."""
    sheets = {page.obj.objgen: number for number, page in enumerate(pdf.pages)}
    names, found = _names_of(pdf), []
    try:
        with pdf.open_outline() as outline:
            items = list(outline.root)[:FURTHER_BOOKMARKS]
    except pikepdf.OutlineStructureError:
        return []
    for item in items:
        goal = item.destination if item.destination is not None else (item.action or {}).get("/D")
        goal = names.get(str(goal)) if isinstance(goal, String | Name) else goal
        if isinstance(goal, Array) and len(goal) and isinstance(goal[0], Dictionary) and goal[0].objgen in sheets:
            found.append(OutlineItem(item.title, start + sheets[goal[0].objgen]))
    return found


def _attach(whole, *, path, name, media_type, words):
    """A file as it is, byte by byte."""
    whole.attachments[name] = AttachedFileSpec(
        whole,
        Path(path).read_bytes(),
        description=words,
        filename=name,
        mime_type=media_type,
        relationship=Name.Supplement,
    )


def _claim(whole, is_archival):
    """PDF/A is said of the whole only where it holds of each part."""
    if is_archival:
        return
    with whole.open_metadata(set_pikepdf_as_editor=False, update_docinfo=False) as metadata:
        for key in ("pdfaid:part", "pdfaid:conformance"):
            if key in metadata:
                del metadata[key]


if __name__ == "__main__":
    limit()
    asked = json.load(sys.stdin)
    if "count" in asked:
        json.dump([counted(path) for path in asked["count"]], sys.stdout)
    else:
        sys.stdout.buffer.write(joined(**asked))
