"""A browser that is worked by its keyboard, for .ci/desk: the W3C WebDriver protocol
(https://www.w3.org/TR/webdriver2/), as chromedriver speaks it, by the standard library alone."""
import base64, json, os, subprocess, tempfile, time, urllib.request

PATIENCE = 120  # seconds that anything may take; a slow machine is not a fault
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # WebDriver, section 12.2
KEYS = {"Tab": "\ue004", "Enter": "\ue007", "Space": " ", "Shift": "\ue008", "Down": "\ue015", "Up": "\ue013", "End": "\ue010", "Home": "\ue011",
        "Backspace": "\ue003", "Control": "\ue009", "Delete": "\ue017", "Null": "\ue000"}

# What somebody who sees nothing hears of the element that has the focus.
FOCUSED = """
const e = document.activeElement;
if (!e || e === document.body) return null;
const text = (x) => (x ? x.textContent : "").replace(/\\s+/g, " ").trim();
const named = (e.getAttribute("aria-labelledby") || "").split(" ").map((id) => text(document.getElementById(id))).join(" ").trim();
const name = named || e.getAttribute("aria-label") || (e.labels && e.labels.length ? [...e.labels].map(text).join(" ") : "") || text(e) || e.title || e.value || "";
return {tag: e.tagName.toLowerCase(), type: e.type || "", name: name, id: e.id, checked: !!e.checked, value: e.value || "", href: e.href || ""};
"""


class Browser:
    def __init__(self, width, height=900):
        self.folder = tempfile.mkdtemp(prefix="desk-browser-")
        self.driver = subprocess.Popen(["chromedriver", "--port=0"], stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        self.port = None
        for line in self.driver.stdout:
            if "successfully on port" in line:
                self.port = int(line.rsplit("port", 1)[1].strip(" .\n"))
                break
        arguments = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
                     "--disable-component-update", "--disable-sync", "--hide-scrollbars", "--user-data-dir=" + self.folder]
        preferences = {"download.default_directory": self.folder}
        self.session = self.ask("POST", "", {"capabilities": {"alwaysMatch": {"browserName": "chrome", "goog:loggingPrefs": {"browser": "ALL"},
                                "goog:chromeOptions": {"args": arguments, "prefs": preferences}}}})["sessionId"]
        # The size of the window's inside: at 390 px Chromium's windows are wider than asked for.
        self.ask("POST", "/goog/cdp/execute", {"cmd": "Emulation.setDeviceMetricsOverride", "params": {
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}})

    def ask(self, method, path, body=None):
        base = f"http://127.0.0.1:{self.port}/session" + (f"/{self.session}" if hasattr(self, "session") else "")
        data = None if method == "GET" else json.dumps(body or {}).encode()
        request = urllib.request.Request(base + path, data=data, method=method, headers={"Content-Type": "application/json"})
        try:
            with urllib.request.urlopen(request, timeout=PATIENCE) as answer:
                return json.load(answer)["value"]
        except urllib.error.HTTPError as e:
            raise AssertionError(f"{method} {path}: {json.load(e)['value']['message']}") from None

    def close(self):
        try:
            self.ask("DELETE", "")
        finally:
            self.driver.kill()

    def go(self, address): self.ask("POST", "/url", {"url": address})
    def address(self): return self.ask("GET", "/url")
    def run(self, script, *args): return self.ask("POST", "/execute/sync", {"script": script, "args": list(args)})
    def text(self): return self.run("return document.querySelector('main') ? document.querySelector('main').innerText : document.body.innerText")
    def title(self): return self.run("return (document.querySelector('h1') || {}).innerText || ''")

    def picture(self, path):
        """The whole page, as PNG."""
        shot = self.ask("POST", "/goog/cdp/execute", {"cmd": "Page.captureScreenshot", "params": {"format": "png", "captureBeyondViewport": True}})
        with open(path, "wb") as f:
            f.write(base64.b64decode(shot["data"]))

    def wait(self, what, found):
        """Waits until found() is true, and returns what it is."""
        end = time.time() + PATIENCE
        while time.time() < end:
            try:
                got = found()
            except AssertionError as e:  # a page that is going away answers with an error
                got, last = None, str(e)
            else:
                last = ""
            if got:
                return got
            time.sleep(0.1)
        raise AssertionError(f"waited in vain for {what} {last}; at {self.address()} stands:\n{self.text()[:3000]}")

    def wait_text(self, text): return self.wait(f"the words {text!r}", lambda: text in " ".join(self.text().split()))

    def press(self, *names):
        """Presses keys one after the other; Shift+Tab holds Shift."""
        for name in names:
            *held, last = name.split("+")
            keys = [KEYS.get(k, k) for k in held]
            actions = [{"type": "keyDown", "value": k} for k in keys]
            actions += [{"type": kind, "value": KEYS.get(last, last)} for kind in ("keyDown", "keyUp")]
            actions += [{"type": "keyUp", "value": k} for k in keys]
            self.ask("POST", "/actions", {"actions": [{"type": "key", "id": "keys", "actions": actions}]})

    def type(self, text):
        """Types letters into what has the focus, in place of what stands there."""
        self.press("Control+a")
        if not text:
            self.press("Delete")
        self.press(*list(text))

    def focused(self): return self.run(FOCUSED)

    def tab_to(self, name, tag=None, most=400):
        """Presses Tab until the focus is on something of this name (all of it, or its beginning followed by
        more if it ends in *). Who cannot reach it by Tab cannot use it."""
        seen = []
        for _ in range(most):
            f = self.focused()
            if f and (f["name"] == name or name.endswith("*") and f["name"].startswith(name[:-1])) and (tag is None or f["tag"] == tag):
                return f
            if f:
                seen.append(f["name"][:40])
            self.press("Tab")
        raise AssertionError(f"Tab does not reach {name!r} at {self.address()}; it reaches {list(dict.fromkeys(seen))}")

    def hit(self, name, tag=None):
        """Goes to a button or link by Tab and presses Enter; waits for what it leads to."""
        self.tab_to(name, tag)
        self.run("window.here = true")
        self.press("Enter")

    def choose(self, name, key):
        """Goes to a select by Tab and types the beginning of an option."""
        self.tab_to(name, "select")
        self.press(*list(key))

    def give(self, selector, *paths):
        """Puts files into a file input: what a file dialog does, which a headless browser lacks."""
        element = self.ask("POST", "/element", {"using": "css selector", "value": selector})
        self.ask("POST", f"/element/{element[ELEMENT]}/value", {"text": "\n".join(paths)})

    def complaints(self):
        """What the browser complains of: broken scripts, what the content security policy forbids, what is missing."""
        return [e["message"] for e in self.ask("POST", "/se/log", {"type": "browser"}) if e["level"] in ("SEVERE", "WARNING")]

    def too_wide(self):
        """By how many px the page is wider than the window."""
        return self.run("return document.documentElement.scrollWidth - document.documentElement.clientWidth")

    def findings(self, axe):
        """What the accessibility checker finds: each rule with where it is broken."""
        self.run(axe + "; window.axeReady = true")
        found = self.ask("POST", "/execute/async", {"script": """
const done = arguments[arguments.length - 1];
axe.run(document, {resultTypes: ["violations"]}).then((r) => done(r.violations.map((v) =>
  v.id + ": " + v.help + " at " + v.nodes.slice(0, 4).map((n) => n.target.join(" ") + " (" + (n.any.concat(n.all, n.none)[0] || {}).message + ")").join("; "))), (e) => done(["the checker failed: " + e]));""", "args": []})
        return found
