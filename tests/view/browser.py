"""A headless Chromium driven through WebDriver (W3C), with the standard library alone."""

from __future__ import annotations

import base64
import json
import shutil
import socket
import subprocess
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--use-gl=angle",
    "--use-angle=swiftshader",
    "--enable-unsafe-swiftshader",
)


def missing() -> str:
    """What of a browser is not there, for a skip; empty where all is."""
    chromium = shutil.which("chromium") or shutil.which("chromium-browser")
    driver = shutil.which("chromedriver")
    names = [n for n, found in (("chromium", chromium), ("chromedriver", driver)) if not found]
    return f"no {' and no '.join(names)} here" if names else ""


class Browser:
    """One session. Close it when done."""

    def __init__(self, width: int = 1280, height: int = 800, *, webgl: bool = True) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        driver = shutil.which("chromedriver")
        binary = shutil.which("chromium") or shutil.which("chromium-browser")
        assert driver and binary
        self._profile = tempfile.TemporaryDirectory(ignore_cleanup_errors=True)
        self._process = subprocess.Popen(
            [driver, f"--port={port}"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        self._root = f"http://127.0.0.1:{port}"
        self._wait()
        arguments = [*FLAGS, f"--user-data-dir={self._profile.name}"]
        if not webgl:
            arguments.append("--disable-3d-apis")
        options = {"binary": binary, "args": arguments}
        logging = {"browser": "ALL", "performance": "ALL"}
        wanted = {
            "browserName": "chrome",
            "goog:chromeOptions": options,
            "goog:loggingPrefs": logging,
        }
        made = self._call("POST", "/session", {"capabilities": {"alwaysMatch": wanted}})
        self._session = f"/session/{made['sessionId']}"
        self.size(width, height)

    def close(self) -> None:
        """End session and driver."""
        try:
            self._call("DELETE", self._session)
        finally:
            self._process.terminate()
            self._process.wait(10)
            self._profile.cleanup()

    def size(self, width: int, height: int) -> None:
        """The page's own size, CSS pixels."""
        self.devtools(
            "Emulation.setDeviceMetricsOverride",
            {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False},
        )

    def open(self, path: Path) -> None:
        """Load a file and wait until it has drawn itself."""
        self._call("POST", f"{self._session}/url", {"url": path.resolve().as_uri()})
        for _ in range(200):
            if self.run("return document.documentElement.dataset.ready") == "true":
                return
            time.sleep(0.05)
        raise AssertionError(f"the page is not ready: {self.log('browser')}")

    def run(self, script: str, *arguments: Any) -> Any:
        """What a script returns."""
        body = {"script": script, "args": list(arguments)}
        return self._call("POST", f"{self._session}/execute/sync", body)

    def later(self, script: str, *arguments: Any) -> Any:
        """What a script gives to the callback that is its last argument."""
        body = {"script": script, "args": list(arguments)}
        return self._call("POST", f"{self._session}/execute/async", body)

    def press(self, selector: str, keys: str) -> None:
        """Type keys at an element."""
        using = {"using": "css selector", "value": selector}
        found = self._call("POST", f"{self._session}/element", using)
        element = next(iter(found.values()))
        self._call("POST", f"{self._session}/element/{element}/value", {"text": keys})

    def click(self, selector: str) -> None:
        """Click an element as a user would: refused where something lies over it."""
        using = {"using": "css selector", "value": selector}
        found = self._call("POST", f"{self._session}/element", using)
        element = next(iter(found.values()))
        self._call("POST", f"{self._session}/element/{element}/click", {})

    def shot(self) -> bytes:
        """A PNG of the page."""
        return base64.b64decode(self._call("GET", f"{self._session}/screenshot"))

    def log(self, kind: str) -> list[dict[str, Any]]:
        """New entries of a log."""
        found: list[dict[str, Any]] = self._call("POST", f"{self._session}/se/log", {"type": kind})
        return found

    def devtools(self, command: str, parameters: dict[str, Any]) -> Any:
        """One command of the browser's own protocol."""
        body = {"cmd": command, "params": parameters}
        return self._call("POST", f"{self._session}/goog/cdp/execute", body)

    def _wait(self) -> None:
        for _ in range(200):
            try:
                if self._call("GET", "/status")["ready"]:
                    return
            except (OSError, KeyError):
                time.sleep(0.05)
        raise AssertionError("chromedriver does not answer")

    def _call(self, method: str, path: str, body: dict[str, Any] | None = None) -> Any:
        data = None if body is None else json.dumps(body).encode()
        request = urllib.request.Request(
            self._root + path,
            data=data,
            method=method,
            headers={"Content-Type": "application/json"},
        )
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                return json.loads(answer.read())["value"]
        except urllib.error.HTTPError as refused:
            raise AssertionError(json.loads(refused.read())["value"]["message"]) from None
