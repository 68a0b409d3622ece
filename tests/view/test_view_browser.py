"""The page in a browser: it plays to the end, and shows the stock that the simulation cuts."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from browser import Browser, missing
from plates import Played, every_move, example

from compiler.simulate import simulate
from compiler.view import page
from compiler.view.data import page_pitch, read_program

pytestmark = pytest.mark.skipif(bool(missing()), reason=missing() or "a browser is here")

HEIGHTS = """
const bytes = new Uint8Array(cut.stock.heights.buffer);
let text = "";
for (let k = 0; k < bytes.length; k += 32768) {
  text += String.fromCharCode(...bytes.subarray(k, k + 32768));
}
return btoa(text);
"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("view")
    found = {}
    for name, made in (("example", example()), ("every", every_move())):
        found[name] = folder / f"{name}.html"
        found[name].write_text(page(*made.arguments()), encoding="utf-8")
    return found


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    opened = Browser()
    yield opened
    opened.close()


@pytest.fixture
def played(browser: Browser, pages: dict[str, Path]) -> Browser:
    browser.size(1280, 800)
    browser.open(pages["example"])
    return browser


def heights_of(browser: Browser) -> np.ndarray:
    grid = browser.run("return cut.stock.grid")
    raw = np.frombuffer(base64.b64decode(browser.run(HEIGHTS)), dtype=np.float32)
    return raw.reshape(grid["ny"], grid["nx"])


def simulated(made: Played) -> np.ndarray:
    return simulate(
        read_program(made.job, made.plan, made.text).motions,
        {tool.number: tool for tool in made.job.tools},
        stock=made.part.stock,
        top=made.part.stock_top,
        bottom=made.part.stock_bottom,
        pitch=page_pitch(made.part),
    ).heights


@pytest.mark.parametrize("name", ["example", "every"])
def test_heights_are_the_simulations(browser: Browser, pages: dict[str, Path], name: str) -> None:
    """Over the whole grid to 0.02 mm, however the page came there: at once, in parts, and back."""
    made = example() if name == "example" else every_move()
    wanted = simulated(made)
    browser.open(pages[name])
    assert browser.run("return cut.stock.heights.every((h) => h === 0 || h === -1e6)")
    browser.run("cut.player.seek(cut.program.total); cut.draw()")
    found = heights_of(browser)
    assert np.abs(found - wanted).max() <= 0.02
    assert (found < -0.5).any()
    browser.run(
        "for (let k = 0; k <= 90; k += 1) { cut.player.seek((cut.program.total * k) / 90);"
        "  cut.stock.goto(cut.player.step, cut.player.share); }"
    )
    assert np.abs(heights_of(browser) - wanted).max() <= 0.02
    browser.run("cut.player.seek(cut.program.total * 0.4); cut.draw()")
    assert np.abs(heights_of(browser) - wanted).max() > 0.1
    browser.run("cut.player.seek(cut.program.total); cut.draw()")
    assert np.abs(heights_of(browser) - wanted).max() <= 0.02


def test_what_it_says_was_removed_is_the_reports(played: Browser) -> None:
    played.press("#picture", "\ue010")  # End
    frame(played)
    assert played.run("return cut.stock.removed") == pytest.approx(
        example().report.removed_mm3, rel=2e-3
    )
    cubic_inches = float(played.run("return document.getElementById('removed').textContent")[:-4])
    assert cubic_inches == pytest.approx(example().report.removed_mm3 / 25.4**3, rel=2e-3)


def test_plays_to_the_end(played: Browser) -> None:
    played.run("cut.player.speed = 200; cut.player.seek(cut.program.total - 300)")
    played.click("#play")
    assert says(played, "play", "Pause")
    done = played.later(
        "const done = arguments[0];"
        "const look = () => cut.player.atEnd() ? done(true) : setTimeout(look, 50);"
        "setTimeout(() => done(false), 20000); look();"
    )
    assert done
    assert says(played, "play", "Play")
    assert played.run("return document.getElementById('block').textContent").endswith("M30")
    assert played.run("return cut.loop.frames") > 2


def says(browser: Browser, name: str, text: str) -> bool:
    """Whether an element comes to read so: words follow the picture, a few times a second."""
    return browser.later(
        "const done = arguments[0]; const until = Date.now() + 3000;"
        f"const look = () => document.getElementById('{name}').textContent === '{text}' "
        "? done(true) : Date.now() > until ? done(false) : setTimeout(look, 10); look();"
    )


def frame(browser: Browser) -> None:
    browser.later(
        "const d = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => d()))"
    )


def test_keys_and_slider(played: Browser) -> None:
    def state() -> tuple[float, int]:
        frame(played)
        return tuple(played.run("return [cut.player.time, cut.player.step]"))  # type: ignore[return-value]

    assert state() == (0, 0)
    played.press("#picture", ".")
    step = state()[1]
    played.press("#picture", "..")
    assert state()[1] > step
    played.press("#picture", ",,")
    assert state()[1] == step
    played.press("#picture", "]")
    operation = "return cut.program.steps.op[cut.player.step]"
    first = played.run(operation)
    played.press("#picture", "]")
    assert played.run(operation) == first + 1
    played.press("#picture", "[")
    assert played.run(operation) == first
    played.press("#picture", "\ue010")  # End
    assert state()[0] == pytest.approx(example().report.time_s, abs=0.05)
    played.press("#picture", "\ue011")  # Home
    assert state()[0] == 0
    played.press("#slider", "\ue014" * 3)  # right arrow, on the slider: time, not the view
    assert state()[0] > 0
    turned = played.run("return cut.camera.turn")
    played.press("#picture", "\ue014")
    assert played.run("return cut.camera.turn") != turned
    played.press("#picture", "s")
    assert played.run("return cut.section.across") == "x"
    played.press("#picture", " ")
    assert played.run("return cut.player.playing") is True
    played.press("#picture", " ")
    assert played.run("return cut.player.playing") is False


def test_a_line_of_the_program_can_be_gone_to(played: Browser) -> None:
    line = example().report.operations[1].first_line + 8
    played.run(f"document.querySelector('[data-line=\"{line}\"]').click()")
    frame(played)
    shown = played.run("return document.getElementById('block').textContent")
    assert shown == example().text.split("\n")[line - 1]


def test_fingers_turn_and_zoom(played: Browser) -> None:
    def touch(kind: str, *places: tuple[float, float]) -> None:
        points = [{"x": x, "y": y, "id": n} for n, (x, y) in enumerate(places)]
        played.devtools("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    before = played.run("return [cut.camera.turn, cut.camera.zoom]")
    touch("touchStart", (300, 300))
    touch("touchMove", (340, 310))
    touch("touchEnd")
    turned = played.run("return [cut.camera.turn, cut.camera.zoom]")
    assert turned[0] != before[0]
    assert turned[1] == before[1]
    touch("touchStart", (300, 300), (400, 300))
    touch("touchMove", (260, 300), (440, 300))
    touch("touchEnd")
    assert played.run("return cut.camera.zoom") > 1.2


def test_the_picture_changes_with_the_cut_and_the_section(played: Browser) -> None:
    def colours() -> int:
        frame(played)
        image = "const p = document.getElementById('picture'); cut.draw();"
        return hash(played.run(image + "return p.toDataURL()"))

    seen = {colours()}
    for act in (
        "cut.player.seek(cut.program.total / 2)",
        "cut.camera.look('above')",
        "document.getElementById('section').value = 'y';"
        "document.getElementById('section').dispatchEvent(new Event('change'))",
        "document.getElementById('path').value = 'none'",
        "document.getElementById('theme').value = 'dark';"
        "document.getElementById('theme').dispatchEvent(new Event('change'))",
    ):
        played.run(act)
        now = colours()
        assert now not in seen, act
        seen.add(now)


def test_nothing_that_must_stand_shows_as_harmed(played: Browser) -> None:
    played.run("cut.player.seek(cut.program.total); cut.draw()")
    assert played.run("return document.getElementById('harm').hidden") is True


def test_a_cut_into_what_must_stand_shows(browser: Browser, pages: dict[str, Path]) -> None:
    browser.open(pages["every"])
    browser.run("cut.player.seek(cut.program.total); cut.draw()")
    assert browser.run("return document.getElementById('harm').hidden") is False


@pytest.mark.parametrize("size", [(1280, 800), (820, 1180)])
def test_fits_the_screen(played: Browser, size: tuple[int, int]) -> None:
    played.size(*size)
    frame(played)
    wide, tall = played.run(
        "const r = document.documentElement; return [r.scrollWidth, r.scrollHeight]"
    )
    assert wide <= size[0]
    assert tall <= size[1]
    cropped = played.run(
        "return [...document.querySelectorAll('button, select, input, dd, h1, #held')]"
        ".filter((e) => e.offsetParent && e.getBoundingClientRect().right > innerWidth)"
        ".map((e) => e.id || e.textContent)"
    )
    assert cropped == []


def test_every_control_has_a_name(played: Browser) -> None:
    played.devtools("Accessibility.enable", {})
    nodes = played.devtools("Accessibility.getFullAXTree", {})["nodes"]
    controls = [
        node
        for node in nodes
        if node.get("role", {}).get("value") in ("button", "slider", "combobox", "image", "img")
        and not node.get("ignored")
    ]
    assert len(controls) > 15
    unnamed = [node for node in controls if not node.get("name", {}).get("value")]
    assert unnamed == []
    told = played.run("return document.getElementById('told').textContent")
    assert "Feed" in told


def test_no_error_and_no_request(played: Browser) -> None:
    played.log("performance")
    played.run("cut.player.seek(cut.program.total / 3)")
    played.run("location.reload()")
    played.later("setTimeout(arguments[0], 1500)")
    errors = [entry for entry in played.log("browser") if entry["level"] == "SEVERE"]
    assert errors == []
    asked = []
    for entry in played.log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            asked.append(message["params"]["request"]["url"])
    assert asked, "the page's own loading is seen"
    assert [url for url in asked if not url.startswith(("file:", "data:"))] == []
    assert len([url for url in asked if url.startswith("file:")]) == 1


def test_prints_in_the_light_and_goes_back(played: Browser) -> None:
    played.run(
        "document.getElementById('theme').value = 'dark';"
        "document.getElementById('theme').dispatchEvent(new Event('change'));"
    )
    frame(played)
    played.devtools("Page.printToPDF", {})
    shown = played.later(
        "const done = arguments[0]; const image = document.getElementById('printed');"
        "image.decode().then(() => {"
        "  const pen = new OffscreenCanvas(image.width, image.height).getContext('2d');"
        "  pen.drawImage(image, 0, 0);"
        "  done([image.naturalWidth, [...pen.getImageData(2, 2, 1, 1).data]]); });"
    )
    assert shown[0] == played.run("return document.getElementById('picture').width")
    assert shown[1] == [255, 255, 255, 255]
    assert played.run("return document.documentElement.dataset.theme") == "dark"


def test_a_lost_picture_comes_back(played: Browser) -> None:
    def colours() -> int:
        frame(played)
        image = "cut.draw(); return document.getElementById('picture').toDataURL()"
        return hash(played.run(image))

    before = colours()
    played.later(
        "const done = arguments[0]; const picture = document.getElementById('picture');"
        "const lose = picture.getContext('webgl2').getExtension('WEBGL_lose_context');"
        "picture.addEventListener('webglcontextrestored', () => setTimeout(done, 50));"
        "picture.addEventListener('webglcontextlost', () => setTimeout(() => "
        "lose.restoreContext(), 50)); lose.loseContext();"
    )
    assert colours() == before


def test_without_webgl_all_but_the_picture_works(pages: dict[str, Path]) -> None:
    plain = Browser(webgl=False)
    try:
        plain.open(pages["example"])
        assert plain.run("return document.getElementById('no-picture').hidden") is False
        plain.press("#slider", "\ue010")  # End
        frame(plain)
        assert plain.run("return document.getElementById('block').textContent").endswith("M30")
        severe = [e for e in plain.log("browser") if e["level"] == "SEVERE"]
        assert severe == []
    finally:
        plain.close()


def test_a_pause_is_not_played_over(played: Browser) -> None:
    """After a long rest the program goes on from where it stood, at any speed."""
    played.run("cut.player.seek(60); cut.player.speed = 200")
    played.later("setTimeout(arguments[0], 600)")
    first = played.later(
        "const done = arguments[0]; cut.player.play(true);"
        "requestAnimationFrame(() => done(cut.player.time));"
    )
    assert first == pytest.approx(60, abs=1e-6)
    played.run("cut.player.play(false)")
