"""The page put together: markup, look, modules and data in one file that asks for nothing else.

The modules in `client/` are plain ES modules. Here they are joined in the order of `MODULES`, which
is that of their imports, into one script: import lines go, the word `export` goes. Names at a
module's top are therefore unique over all of them.
"""

import re
from html import escape
from pathlib import Path

from compiler.job import Job
from compiler.judge.model import Report
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.simulate import Blank
from compiler.view.data import as_json, page_data

CLIENT = Path(__file__).parent / "client"
MODULES = (
    "say.js",
    "program.js",
    "sweep.js",
    "stock.js",
    "mesh.js",
    "camera.js",
    "shaders.js",
    "surface.js",
    "lines.js",
    "tool.js",
    "section.js",
    "target.js",
    "scene.js",
    "overlay.js",
    "player.js",
    "span.js",
    "loop.js",
    "title.js",
    "trace.js",
    "panel.js",
    "controls.js",
    "gestures.js",
    "print.js",
    "main.js",
)
IMPORT = re.compile(r"^import\b[^;]*;\n", re.MULTILINE)
EXPORT = re.compile(r"^export ", re.MULTILINE)


def page(
    job: Job,
    part: Part,
    plan: OperationList,
    report: Report,
    text: str,
    owners: tuple[str | None, ...],
    blank: Blank | None = None,
) -> str:
    """The whole page.

    Args:
        job: What the author said.
        part: What must stand, work coordinates.
        plan: The operations, for their names and limits.
        report: The evidence; a page is made of a proven program.
        text: The program.
        owners: For each line of the text the operation that it belongs to, or None.
        blank: What setups before left of the stock; None: all of it.

    Returns:
        HTML; the same arguments give the same text.
    """
    data = page_data(job, part, plan, report, text, owners, blank)
    filled = {
        "title": escape(f"{job.title.title or job.title.name}, the cut"),
        "look": _file("look.css"),
        "data": as_json(data),
        "script": script(),
    }
    # one pass, so that nothing an author wrote can stand for a slot
    return re.sub(r"\{\{(\w+)\}\}", lambda slot: filled[slot[1]], _file("page.html"))


def script() -> str:
    """All modules as one."""
    joined = (f"// {name}\n{EXPORT.sub('', IMPORT.sub('', _file(name)))}" for name in MODULES)
    return "\n".join(joined)


def _file(name: str) -> str:
    return (CLIENT / name).read_text(encoding="utf-8")
