"""The walks of .ci/desk: see there. FOLDER holds the program, the attributes of printers and the checker."""
import http.client, os, re, shutil, signal, subprocess, sys, tempfile, time
sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
from webdriver import Browser, PATIENCE

FOLDER, PICTURES = sys.argv[1], sys.argv[2]
PROGRAM = os.path.join(FOLDER, "foldwright")
BOOK = os.path.abspath("testdata/larkhaven.pdf")
AXE = open(os.path.join(FOLDER, "package/axe.min.js")).read()


class Desk:
    """The program, opened with a folder of books of its own."""
    def __init__(self, folder):
        self.folder = folder
        self.books, self.profiles = os.path.join(folder, "books"), os.path.join(folder, "profiles")
        os.makedirs(self.profiles, exist_ok=True)
        self.begin()

    def begin(self):
        self.program = subprocess.Popen([PROGRAM, "open", "--no-browser", "--books", self.books, "--profiles", self.profiles],
                                        stderr=subprocess.PIPE, text=True, env=dict(os.environ, LANG="en_GB.UTF-8"))
        said = self.program.stderr.readline()
        self.entrance = re.search(r"http://\S+", said).group(0)

    def kill(self):
        self.program.send_signal(signal.SIGKILL)
        self.program.wait()

    def end(self):
        self.program.terminate()
        assert self.program.wait(PATIENCE) in (0, 130), self.program.returncode


class Walk:
    """Somebody at the keyboard, who looks at each screen."""
    def __init__(self, desk, width, browser=None):
        self.desk, self.width, self.seen = desk, width, 0
        self.browser = browser or Browser(width)
        self.enter()

    def enter(self):
        self.browser.go(self.desk.entrance)

    def look(self, name):
        """Has the checker look through the screen, and takes a picture of it."""
        b = self.browser
        self.seen += 1
        b.wait("all pictures of " + name, lambda: b.run("return [...document.images].every((i) => i.loading === 'lazy' || i.complete && i.naturalWidth)"))
        b.picture(os.path.join(PICTURES, f"{self.width}-{self.seen:02d}-{name}.png"))
        wrong = b.findings(AXE)
        if b.too_wide() > 0:
            wrong.append(f"wider than the window by {b.too_wide()} px")
        wrong += b.complaints()
        assert not wrong, f"{name} at {self.width} px:\n  " + "\n  ".join(wrong)
        print(f"  {self.width} px: {name}: {b.title()}", flush=True)

    def hit(self, name, then, tag=None):
        """Goes to a button or a link by Tab, presses Enter, and waits for words of what follows."""
        self.browser.hit(name, tag)
        self.browser.wait_text(then)


def take_in(walk, *files):
    b = walk.browser
    b.wait_text("Drop a PDF here")
    b.give("#source", *files)
    walk.hit("Make a book of it", "Choices")


def prepare(walk):
    """A book from the drop to its print files."""
    b = walk.browser
    b.wait_text("There are no books yet")
    walk.look("home")
    take_in(walk, BOOK)
    walk.look("plan")
    b.hit("Prepare the print files")
    b.wait("the Print page", lambda: b.address().endswith("/print"))


def bench(walk):
    """Measures at the bench; a word that is no length and the end of the program by force lose nothing."""
    b = walk.browser
    walk.hit("Bench", "Order of work")
    walk.look("bench, nothing measured")
    for box, typed, then in (("Thickness of the block, in mm", "6", "6 mm measured"), ("Spine, in mm", "nine", "is not a length"), ("Thickness of the board, in mm", "2.2", "2.2 mm measured")):
        b.tab_to(box)
        b.type(typed)
        b.press("Tab")
        b.wait_text(then)
    walk.look("bench, measured")
    page = b.address().split("/", 3)[3]
    walk.desk.kill()
    walk.desk.begin()
    walk.enter()
    b.go(walk.desk.entrance.split("/in")[0] + "/" + page)
    b.wait_text("2.2 mm measured")
    b.tab_to("Spine, in mm")
    assert b.focused()["value"] == "nine", f"what was typed is lost: {b.focused()}"
    b.type("9.5")
    b.press("Tab")
    b.wait_text("from the measured block")
    walk.hit("Make the bench sheet and the piercing guide", "Save the piercing guide")
    walk.look("bench, its files")


def ask(desk, method, path, headers, body=None):
    address = re.match(r"http://([^/]+)", desk.entrance).group(1)
    c = http.client.HTTPConnection(address, timeout=PATIENCE)
    c.putrequest(method, path, skip_host=True)
    for k, v in dict({"Host": address}, **headers).items():
        c.putheader(k, v)
    c.endheaders(body)
    return c.getresponse().status


def refuse(desk, cookie):
    """What others might try, none of which may be answered with what they ask for."""
    address = re.match(r"http://([^/]+)", desk.entrance).group(1)
    form = {"Content-Type": "application/x-www-form-urlencoded", "Content-Length": "0"}
    with_cookie = {"Cookie": cookie}
    assert ask(desk, "GET", "/", with_cookie) == 200, "the person's own browser is let in"
    for what, method, path, headers in (
        ("no cookie", "GET", "/", {}),
        ("a forged host", "GET", "/", {**with_cookie, "Host": "larkhaven.example"}),
        ("a host that is another port's", "GET", "/", {**with_cookie, "Host": "127.0.0.1:1"}),
        ("a foreign origin", "POST", "/end", {**with_cookie, **form, "Origin": "http://larkhaven.example"}),
        ("a null origin", "POST", "/end", {**with_cookie, **form, "Origin": "null"}),
        ("a cross-site form", "POST", "/end", {**with_cookie, **form, "Sec-Fetch-Site": "cross-site"}),
        ("a name with ../", "GET", "/books/..%2f..%2fetc/files/passwd", with_cookie),
        ("a file's name with ../", "GET", "/books/larkhaven/files/..%2f..%2fbook.json", with_cookie),
        ("an entrance that was used", "GET", desk.entrance.removeprefix("http://" + address), {}),
    ):
        status = ask(desk, method, path, headers)
        assert status in (400, 401, 403, 404, 421), f"{what}: {status}"
        print(f"  refused, {status}: {what}")


def main():
    for width in (390, 1200):
        folder = tempfile.mkdtemp(dir=FOLDER)
        desk = Desk(folder)
        walk = Walk(desk, width)
        try:
            prepare(walk)
            cookie = "; ".join(f"{c['name']}={c['value']}" for c in walk.browser.ask("GET", "/cookie"))
            refuse(desk, cookie)
            bench(walk)
        finally:
            walk.browser.close()
            desk.end()


main()
