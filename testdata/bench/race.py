"""Races foldwright against qpdf and mutool; testdata/bench/run builds and calls it.

The programs run in turn, so that all of them see the same machine. Each figure is the
middle of the rounds, which the first, that brings the files into memory, does not count for.
"""
import argparse, os, re, shutil, statistics, subprocess, sys, tempfile, time

OURS = 'foldwright'
# What must come out, as ratios. The peak of a scan is judged against 1.3 times the input and 64 MB.
TEXT = {'wall / qpdf': 0.5, 'wall / mutool': 1.2, 'peak / qpdf': 1, 'bytes / floor': 1.05, 'bytes / input': 1.05}
PICTURES = {k: v for k, v in TEXT.items() if k != 'peak / qpdf'}
SCAN = {'wall / qpdf': 1, 'wall / mutool': 1.5, 'peak / (1.3 input + 64 MB)': 1, 'bytes / floor': 1.05}
SHELF_PAGES = '''63 63 27 48 58 68 25 21 25 22 78 46 14 76 33 54 15 55 67 62 59 9 41 21 10 43 38 55 62 49
42 17 21 20 53 18 45 52 70 41 50 32 35 53 49 60 10 73 38 70 63 72 53 61 66 57 23 20 17 42'''
SHELF = {k: v for k, v in PICTURES.items() if k != 'bytes / input'}

parser = argparse.ArgumentParser(prog='testdata/bench/run')
parser.add_argument('built')
parser.add_argument('books')
parser.add_argument('--rounds', type=int, default=3)
parser.add_argument('--only', choices=['text', 'pictures', 'scan', 'joined', 'shelf', 'linear'])
parser.add_argument('--book')
asked = parser.parse_args()
foldwright, bench = (os.path.join(os.path.abspath(asked.built), name) for name in ('foldwright', 'bench'))
missed = []


def made(name, make):
    """A file among the books, made under another name first unless it is there."""
    path = os.path.join(asked.books, name + '.pdf')
    if not os.path.exists(path):
        os.makedirs(os.path.dirname(path), exist_ok=True)
        make(path + '.part')
        os.rename(path + '.part', path)
    return path


def book(name, kind, pages, seed):
    def make(part):
        if kind != 'manual':
            subprocess.run([bench, 'books', kind, str(pages), str(seed), part], check=True)
            return
        # With object streams, as most writers make them.
        subprocess.run([bench, 'books', kind, str(pages), str(seed), part + '.plain'], check=True)
        qpdf('--object-streams=generate', part + '.plain', part)
        os.remove(part + '.plain')
    return made(name, make)


def qpdf(*words):
    subprocess.run(['qpdf', *words], check=True)


def joined():
    parts = [book(f'part-{i + 1}', 'manual', 2000, 20 + i) for i in range(5)]
    return made('joined', lambda part: qpdf('--object-streams=generate', '--empty', '--pages', *parts, '--', part))


def shelf():
    pages = [int(n) for n in SHELF_PAGES.split()]
    return [book(f'shelf/title-{i + 1:02}', 'manual', n, 100 + i) for i, n in enumerate(pages)]


def measure(*command):
    """Wall time, processor time and peak memory in bytes of a command. The peak is never less than
    this program's own, some 12 MB, with which a new process is counted."""
    with tempfile.TemporaryFile() as said:
        begun = time.perf_counter()
        child = subprocess.Popen(command, stdout=said, stderr=said)
        _, status, usage = os.wait4(child.pid, 0)
        wall = time.perf_counter() - begun
        child.returncode = os.waitstatus_to_exitcode(status)
        if child.returncode != 0 and not (command[0] == 'qpdf' and child.returncode == 3):  # it wrote the file, and warned
            said.seek(0)
            sys.exit(f'{command[0]}: status {child.returncode}: {said.read().decode()}')
    kilobyte = 1 if sys.platform == 'darwin' else 1024
    return {'wall': wall, 'cpu': usage.ru_utime + usage.ru_stime, 'peak': usage.ru_maxrss * kilobyte}


def written(place):
    """The bytes of PDF files in a folder."""
    return sum(os.path.getsize(os.path.join(folder, f)) for folder, _, files in os.walk(place) for f in files if f.endswith('.pdf'))


def run(program, sources, place):
    """One round of a program: one source, or a shelf as one batch or in a loop."""
    how = ['--quiet', '--printer', 'by-hand-short', '--run', 'book']
    os.mkdir(place)
    if program == OURS and len(sources) > 1:
        costs = [measure(foldwright, 'batch', os.path.dirname(sources[0]), '--out', place, *how)]
    else:
        costs = []
        for source in sources:
            folder, file = (os.path.join(place, os.path.basename(source)[:-4] + end) for end in ('-print', '.pdf'))
            command = {OURS: [foldwright, 'prepare', source, '--out', folder, *how], 'qpdf': ['qpdf', source, file], 'mutool': ['mutool', 'clean', source, file]}
            costs.append(measure(*command[program]))
    total = {k: sum(c[k] for c in costs) for k in ('wall', 'cpu')}
    return {**total, 'peak': max(c['peak'] for c in costs), 'bytes': written(place)}


def middle(costs):
    return {k: statistics.median_high(c[k] for c in costs) for k in costs[0]}


def race(name, want, sources):
    # What a shelf's race writes stays until it is over: some file systems look for room for every new file
    # among what was deleted in the last minutes, and the program that makes most files suffers most.
    scratch = tempfile.mkdtemp(dir=asked.books)
    costs, pages, floor = {}, 0, 0
    try:
        for number in range(asked.rounds + 1):
            for program in (OURS, 'qpdf', 'mutool'):
                place = os.path.join(scratch, f'{program}-{number}')
                cost = run(program, sources, place)
                if number > 0:
                    costs.setdefault(program, []).append(cost)
                elif program == OURS:
                    for source in sources:
                        folder = os.path.join(place, os.path.basename(source)[:-4] + '-print')
                        told = subprocess.run([bench, 'floor', f'{folder}:{source}'], check=True, capture_output=True, text=True).stdout
                        found = [int(n) for n in re.match(r'(\d+) pages, floor (\d+) bytes', told).groups()]
                        pages, floor = pages + found[0], floor + found[1]
                if len(sources) == 1:
                    shutil.rmtree(place)
    finally:
        shutil.rmtree(scratch)
    size = sum(os.path.getsize(s) for s in sources)
    print(f'\n{name}: {pages} pages, {size / 1e6:.1f} MB\n{"":10}  {"wall s":>8}  {"cpu s":>8}  {"peak MB":>8}  {"MB out":>8}')
    by = {program: middle(c) for program, c in costs.items()}
    for program, c in by.items():
        print(f'{program:>10}  {c["wall"]:8.2f}  {c["cpu"]:8.2f}  {c["peak"] / 1e6:8.1f}  {c["bytes"] / 1e6:8.2f}')
    we = by[OURS]
    ratios = {f'{k} / {rival}': we[k] / by[rival][k] for k in ('wall', 'cpu') for rival in ('qpdf', 'mutool')}
    ratios |= {'peak / qpdf': we['peak'] / by['qpdf']['peak'], 'peak / (1.3 input + 64 MB)': we['peak'] / (1.3 * size + 64e6),
               'bytes / floor': we['bytes'] / floor, 'floor / input': floor / size, 'bytes / input': we['bytes'] / size}
    for what, value in ratios.items():
        if what in want or '1.3' not in what:  # what a scan may take says nothing of small books
            judge(name, what, value, want.get(what))


def judge(name, what, value, most):
    verdict = '' if most is None else f'  at most {most:g}: {"reached" if value <= most else "MISSED"}'
    print(f'  {what:<28} {value:6.3f}{verdict}', flush=True)
    if most is not None and value > most:
        missed.append(f'{name}: {what} is {value:.3f}, at most {most:g} is wanted')


def linear():
    """The time of prepare for ever longer books. From 1000 pages on, where the start of the program no longer
    counts, the processor's time per page must stay the same; wall time depends on what else the machine does."""
    print(f'\ntime by pages ({OURS})\n{"pages":>8}  {"wall s":>8}  {"cpu s":>8}  {"cpu ms a page":>14}')
    base, each = 1000, {}
    for pages in (100, 300, base, 3000, 10000):
        source = made(f'first-{pages}', lambda part: qpdf('--object-streams=generate', joined(), '--pages', '.', f'1-{pages}', '--', part))
        costs = []
        for _ in range(asked.rounds):
            with tempfile.TemporaryDirectory(dir=asked.books) as scratch:
                costs.append(run(OURS, [source], os.path.join(scratch, 'out')))
        c = middle(costs)
        each[pages] = c['cpu'] * 1000 / pages
        print(f'{pages:8}  {c["wall"]:8.2f}  {c["cpu"]:8.2f}  {each[pages]:14.3f}')
        if pages > base:
            judge('linear', f'a page of {pages} / of {base}', each[pages] / each[base], 1.5)


os.makedirs(asked.books, exist_ok=True)
parts = {
    'text': lambda: race('text', TEXT, [book('text', 'manual', 2400, 1)]),
    'pictures': lambda: race('pictures', PICTURES, [book('pictures', 'pictures', 900, 11)]),
    'scan': lambda: race('scan', SCAN, [book('scan', 'scan', 200, 12)]),
    'joined': lambda: race('joined', TEXT, [joined()]),
    'shelf': lambda: race('shelf', SHELF, shelf()),
    'linear': linear,
}
if asked.book:
    parts = {'book': lambda: race(os.path.basename(asked.book), TEXT, [os.path.abspath(asked.book)])}
elif asked.only:
    parts = {asked.only: parts[asked.only]}
for part in parts.values():
    part()
if missed:
    sys.exit('bench: missed:\n  ' + '\n  '.join(missed))
print('\nall that is wanted was reached')
