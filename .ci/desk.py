"""The walks of .ci/desk: see there. FOLDER holds the program, the attributes of printers and the checker."""
import http.client, os, re, shutil, signal, socket, subprocess, sys, tempfile, time
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
        b.run("for (const i of document.images) i.loading = 'eager'")
        b.wait("all pictures of " + name, lambda: b.run("return [...document.images].every((i) => i.complete && i.naturalWidth)"))
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
    b.go(walk.desk.entrance.split("/in")[0] + "/books/the-larkhaven-journal")
    walk.hit("Bench", "Order of work")
    walk.look("bench, nothing measured")
    for box, typed, then in (("Thickness of the block, in mm", "6", "6 mm measured"), ("Spine, in mm", "nine", "is not a length"), ("Thickness of the board, in mm", "2.2", "2.2 mm measured")):
        b.tab_to(box)
        b.type(typed)
        b.press("Tab")
        b.wait_text(then)
    walk.look("bench, measured")
    kill(walk, "/" + b.address().split("/", 3)[3])
    b.wait_text("2.2 mm measured")
    b.tab_to("Spine, in mm")
    assert b.focused()["value"] == "nine", f"what was typed is lost: {b.focused()}"
    b.type("9.5")
    b.press("Tab")
    b.wait_text("from the measured block")
    walk.hit("Make the bench sheet and the piercing guide", "Save the piercing guide")
    walk.look("bench, its files")


def pick(walk, says):
    """Goes to a group of choices by Tab, and by the arrow keys to the one that says something."""
    b = walk.browser
    for _ in range(200):
        f = b.focused()
        if f and f["type"] == "radio":
            break
        b.press("Tab")
    for _ in range(40):
        if says in b.focused()["name"]:
            b.press("Space")
            return
        b.press("Down")
    raise AssertionError(f"no choice says {says!r} at {b.address()}:\n{b.text()[:2000]}")


def answer(walk, name, ways, end):
    """Answers question after question until words of the end are seen. ways are, for words by which a question is
    known, what is done; the first of them that is seen counts. Each kind of screen is looked at once."""
    b, looked = walk.browser, set()
    for _ in range(200):
        def known():
            text = " ".join(b.text().split())
            return "end" if end in text else next((w for w in ways if w in text), None)
        at = b.wait(f"the end of {name} or a question that is known", known)
        if at == "end":
            walk.look(name + ", its end")
            return
        if at not in looked:
            looked.add(at)
            walk.look(f"{name}, {at[:40]}")
        before = b.run("return document.querySelector('main').innerHTML")
        ways[at](b)
        b.wait(f"what follows {at!r}", lambda: b.run("return document.readyState === 'complete' && document.querySelector('main').innerHTML") not in (False, before))
    raise AssertionError(f"{name} comes to no end: {b.text()[:2000]}")


def button(name): return lambda b: b.hit(name)


def choice(walk, says):
    def do(b):
        pick(walk, says)
        b.hit("Go on")
    return do


def kill(walk, path):
    """The program is killed and begun again; the person opens the page where they were."""
    walk.desk.kill()
    walk.desk.begin()
    walk.enter()
    walk.browser.wait_text("Drop a PDF here")
    walk.browser.complaints()  # that nobody answered while the program was gone
    walk.browser.go(walk.desk.entrance.split("/in")[0] + path)


def learn(walk, address):
    """A printer is learned, whose test sheet it prints itself; the program is killed between the questions."""
    b = walk.browser
    walk.hit("Printers", "Your printers")
    walk.look("printers, none of one's own")
    walk.hit("Learn a printer", "A name for the printer")
    walk.look("learn, its name")
    b.tab_to("A name for the printer*")
    b.type("lamp room")
    walk.hit("Begin", "Which paper lies in the tray?")
    def send(b):
        b.tab_to("Its address*")
        b.type(address)
        b.hit("Print the test sheet there")
    answer(walk, "learn", {
        "Which paper lies in the tray?": choice(walk, "A4"),
        "How does your printer print both sides": choice(walk, "One side at a time"),
        "How many test sheets": choice(walk, "One sheet"),
        "Shall it be printed?": button("It lies in the tray: print"),
        "Its address, such as": send,
    }, "how did you put the paper back")
    kill(walk, "/printers")
    b.wait_text("Begun and not finished")
    walk.look("printers, one half learned")
    b.hit("Go on learning “lamp room”")
    answer(walk, "learn, what is seen", {
        "how did you put the paper back": choice(walk, "Just as it came out"),
        "Push a pin": choice(walk, "The number 1"),
        "Where is it now?": choice(walk, "On the side with the letters"),
        "on which side was the new print?": choice(walk, "On the upper side"),
        "Do you want to measure": choice(walk, "No, not now"),
        "What kind of tray": choice(walk, "A drawer"),
        "How many sheets of this paper": button("I don't know"),
        "How does the printer print?": choice(walk, "With a laser"),
    }, "Keep this printer")
    walk.hit("Keep this printer", "lamp room")
    walk.look("printers, one learned")


def ten_pages(path, title):
    """A PDF of ten pages with the title on each."""
    objects = ["<< /Type /Catalog /Pages 2 0 R >>", "<< /Type /Pages /Count 10 /Kids [%s] >>" % " ".join(f"{2 * i + 4} 0 R" for i in range(10)),
               "<< /Type /Font /Subtype /Type1 /BaseFont /Times-Roman >>"]
    for i in range(10):
        text = f"BT /F 20 Tf 60 500 Td ({title}, page {i + 1}) Tj ET"
        objects.append(f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 420 595] /Resources << /Font << /F 3 0 R >> >> /Contents {2 * i + 5} 0 R >>")
        objects.append(f"<< /Length {len(text)} >>\nstream\n{text}\nendstream")
    out, places = "%PDF-1.4\n", []
    for n, o in enumerate(objects, 1):
        places.append(len(out))
        out += f"{n} 0 obj\n{o}\nendobj\n"
    table = "".join(f"{p:010d} 00000 n \n" for p in places)
    out += f"xref\n0 {len(objects) + 1}\n0000000000 65535 f \n{table}trailer << /Size {len(objects) + 1} /Root 1 0 R >>\nstartxref\n{len(out)}\n%%EOF\n"
    with open(path, "w") as f:
        f.write(out)


class Peer:
    """A program that speaks IPP as a printer does, and keeps what arrives, numbered. It jams before the third sheet of each job."""
    def __init__(self, folder):
        self.kept_in, spool = os.path.join(folder, "printed"), os.path.join(folder, "spool")
        os.makedirs(self.kept_in)
        os.makedirs(spool)
        jam = os.path.join(folder, "jam")
        with open(jam, "w") as f:
            f.write("""#!/usr/bin/env bash
for i in 1 2 3; do
  if [ $i = 3 ]; then echo "STATE: +media-jam-error" >&2; sleep 4; echo "STATE: -media-jam-error" >&2; fi
  echo "ATTR: job-impressions-completed=$i" >&2; sleep 0.3
done
n=$(printf '%03d' $(($(ls | wc -l) + 1)))
cp "$1" "part-$n" && mv "part-$n" "$n"
""")
        os.chmod(jam, 0o755)
        with socket.socket() as s:
            s.bind(("localhost", 0))
            port = s.getsockname()[1]
        self.log = open(os.path.join(folder, "peer.log"), "w")
        self.program = subprocess.Popen(["ippeveprinter", "-k", "-r", "off", "-n", "localhost", "-p", str(port), "-a", os.path.join(FOLDER, "pdf-duplex.conf"),
                                         "-c", jam, "-d", spool, "Lamp room"], cwd=self.kept_in, stdout=self.log, stderr=self.log)
        self.address = f"ipp://localhost:{port}/ipp/print"
        end = time.time() + PATIENCE
        while subprocess.run([PROGRAM, "printers", "ask", self.address], capture_output=True).returncode != 0:
            assert time.time() < end, "the printer program does not answer"
            time.sleep(0.1)

    def kept(self): return sorted(n for n in os.listdir(self.kept_in) if n.isdigit())
    def end(self):
        self.program.kill()
        self.log.close()


def print_book(walk, peer):
    """From the drop to the last back: a jam, the program killed in the middle of a pass, a spoiled sheet."""
    b = walk.browser
    b.go(walk.desk.entrance.split("/in")[0] + "/")
    source = os.path.join(walk.desk.folder, "tides.pdf")
    ten_pages(source, "Tides at Larkhaven")
    take_in(walk, source)
    b.hit("Prepare the print files")
    b.wait("the Print page", lambda: b.address().endswith("/print"))
    before, job = len(peer.kept()), os.path.join(walk.desk.books, "tides", "print")
    walk.look("print, the beginning")
    b.tab_to("The printer's address")
    b.type(peer.address)
    b.hit("Begin to print")
    done = set()

    def sent(b):
        b.hit("It lies in the tray: print")
        if len(peer.kept()) == before + 2 and "killed" not in done:  # the pass after the check sheet's two
            done.add("killed")
            b.wait_text("The printer says: paper has jammed")
            walk.look("print, a jam")
            kill(walk, "/books/tides/print")
            b.wait_text("Last time it ended while")
            walk.look("print, ended in the middle of a pass")
            b.hit("Go on printing")

    def all_came_out(b):  # of a pass: the first is cut off, and of the second a sheet is spoiled
        done.add("spoiled")
        b.hit("No")

    ways = {
        "Did all 3 sheets": all_came_out, "Did sheet ": button("Yes"), "Is each": button("Yes"), "Push a pin": button("Yes"),
        "Which is the last good sheet": choice(walk, "Sheet 2"),
        "Which sheets after it are spoiled?": lambda b: (b.tab_to("Sheet *"), b.press("Space"), b.hit("Go on")),
        "It lies in the tray": sent,
    }
    answer(walk, "print", ways, "Everything that was to be printed now is printed")
    assert done == {"killed", "spoiled"}, done
    for n, name in ((2, "run-01-front.pdf"), (4, "run-01-back.pdf")):  # 3 is the rest of the fronts
        with open(os.path.join(peer.kept_in, peer.kept()[before + n]), "rb") as got, open(os.path.join(job, name), "rb") as want:
            assert got.read() == want.read(), f"{name} did not arrive as it was written"
    walk.hit("Go on", "Some are lost")
    walk.look("print, what is lost")
    walk.hit("Print them once more", "Which sheets are spoiled or lost?")
    walk.look("print, the stack")
    b.hit("Print these once more")
    answer(walk, "print once more", ways, "Everything that was to be printed now is printed")
    walk.hit("Go on", "All sheets are printed")
    walk.look("print, all of it")
    b.hit("Go on: make the gatherings")
    answer(walk, "make", {"Done: next step": button("Done: next step")}, "The gatherings are made")
    walk.hit("Go to the bench", "Order of work")


def blank(walk):
    """A book without a PDF, begun on the Books page."""
    b = walk.browser
    b.go(walk.desk.entrance.split("/in")[0] + "/")
    b.hit("A blank book")
    b.tab_to("Its name")
    b.type("Lamp log")
    b.tab_to("What is printed on them")
    b.press("Down")
    walk.look("home, a blank book")
    walk.hit("Begin the blank book", "The blank pages")
    walk.look("plan, a blank book")


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


def shelf(walk, folder):
    """Ten books dropped at once, prepared overnight, and the program killed in the night."""
    b = walk.browser
    files = []
    for name in ("Tides", "Stores", "Birds", "Storms", "Lamp oil", "Fog signals", "Letters", "Wrecks", "The garden", "Keepers"):
        files.append(os.path.join(folder, name + ".pdf"))
        shutil.copy(BOOK, files[-1])
    files.append(os.path.join(folder, "No book.pdf"))
    with open(files[-1], "w") as f:
        f.write("Dear keeper,")
    walk.hit("Shelf", "Drop many PDFs here")
    b.give("#source", *files)
    walk.hit("Take them in", "10 books taken in")
    assert "“No book.pdf” is not a PDF file" in b.text(), b.text()
    walk.look("shelf-choose")
    walk.hit("Untick all", "0 of")
    walk.hit("Tick those never prepared or outdated", "10 of")
    b.tab_to("Which pages")
    def ready(): return sum(os.path.exists(os.path.join(walk.desk.books, n, "print", "plan.json")) for n in os.listdir(walk.desk.books))
    before, end = ready(), time.time() + PATIENCE
    b.hit("Start the shelf")
    while ready() < before + 2 and time.time() < end:  # a browser would see it too late
        time.sleep(0.002)
    kill(walk, "/shelf")
    b.wait_text("A shelf that did not come to its end")
    assert before + 2 <= ready() < before + 10, f"{ready() - before} books were ready when the program was killed"
    walk.look("shelf-cut-off")
    b.hit("Go on:*")
    b.wait("the shelf", lambda: b.address().endswith(("/shelf/work", "/shelf/report")))
    if b.address().endswith("/shelf/work"):
        try:
            walk.look("shelf-in-work")
        except AssertionError:
            if b.address().endswith("/shelf/work"):
                raise  # else the shelf was ready meanwhile, and the page has gone on
    b.wait_text("10 books: 10 ready to print.")
    walk.look("shelf-report")


def main():
    for width in (390, 1200):
        folder = tempfile.mkdtemp(dir=FOLDER)
        desk, peer = Desk(folder), Peer(folder)
        walk = Walk(desk, width)
        try:
            prepare(walk)
            shelf(walk, folder)
            cookie = "; ".join(f"{c['name']}={c['value']}" for c in walk.browser.ask("GET", "/cookie"))
            refuse(desk, cookie)
            learn(walk, peer.address)
            print_book(walk, peer)
            blank(walk)
            bench(walk)
        finally:
            walk.browser.close()
            desk.end()
            peer.end()


main()
