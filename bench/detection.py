"""Sums DetectionStudy's rows (standard input), prints the table and draws the plot (first argument)."""

import csv
import sys
from collections import defaultdict
from statistics import NormalDist

sums = defaultdict(lambda: defaultdict(int))
for row in csv.DictReader(line for i, line in enumerate(sys.stdin) if i == 0 or not line.startswith("regime,")):
    cell = sums[row["regime"], float(row["size"])]
    for name, value in row.items():
        if name not in ("regime", "size"):
            cell[name] += int(value)

print("| errors beside the noise | size, × noise | surveys | bad | found | of those in surveys with readings to spare | ideal | good set aside per 10 surveys | ideal |")
print("|---|---|---|---|---|---|---|---|---|")
WORDS = {"resolved": "none", "misplaced": "places, angles"}
for (regime, size), c in sorted(sums.items(), key=lambda s: (list(WORDS).index(s[0][0]), s[0][1])):
    found, ideal = (f"{100 * c[n] / c['bad']:.1f} %" if c["bad"] else "" for n in ("found", "ideal_found"))
    spare = f"{100 * c['found_spare'] / c['bad_spare']:.1f} % of {c['bad_spare']}" if c["bad_spare"] else ""
    wronged, ideally = (f"{10 * c[n] / c['surveys']:.2f}" for n in ("good_set_aside", "ideal_good_set_aside"))
    print(f"| {WORDS[regime]} | {size:g} | {c['surveys']} | {c['bad']} | {found} | {spare} | {ideal} | {wronged} | {ideally} |")

WIDTH, HEIGHT, LEFT, BOTTOM = 640, 320, 56, 270
LINES = {"resolved": ("#0b5fa5", ""), "misplaced": ("#b3541e", ' stroke-dasharray="7 4"')}


def x(size):
    return LEFT + size / 20 * (WIDTH - LEFT - 20)


def y(percent):
    return BOTTOM - percent / 100 * (BOTTOM - 20)


def text(at_x, at_y, words, anchor="start"):
    return f'<text x="{at_x:.1f}" y="{at_y:.1f}" text-anchor="{anchor}">{words}</text>'


out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" font-family="sans-serif" font-size="13" fill="#222">']
out.append("<title>Share of bad readings found, by their size</title>")
out.append(f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#fff"/>')
for percent in range(0, 101, 20):
    out.append(f'<path d="M{LEFT} {y(percent):.1f}H{WIDTH - 20}" stroke="#ddd"/>' + text(LEFT - 8, y(percent) + 4, f"{percent} %", "end"))
for size in range(0, 21, 2):
    out.append(text(x(size), BOTTOM + 18, str(size), "middle"))
out.append(text((LEFT + WIDTH) / 2, BOTTOM + 40, "size of the fault, × the reading noise", "middle"))


def curve(points, style):
    path = "L".join(f"{x(a):.1f} {y(b):.1f}" for a, b in points)
    out.append(f'<path d="M{path}" fill="none" stroke-width="2" {style}/>')


normal, limit = NormalDist(), 3.76
curve([(k / 10, 100 * (normal.cdf(k / 10 - limit) + normal.cdf(-k / 10 - limit))) for k in range(0, 201)], 'stroke="#888" stroke-dasharray="2 3"')
for regime, (colour, dash) in LINES.items():
    points = sorted((s, 100 * c["found"] / c["bad"]) for (r, s), c in sums.items() if r == regime and c["bad"])
    curve(points, f'stroke="{colour}"{dash}')
    out += [f'<circle cx="{x(a):.1f}" cy="{y(b):.1f}" r="3" fill="{colour}"/>' for a, b in points]
for k, (words, style) in enumerate(
    [
        ("knows the true field", 'stroke="#888" stroke-dasharray="2 3"'),
        ("vetting, reading noise alone", 'stroke="#0b5fa5"'),
        ("vetting, places and angles off as stated", 'stroke="#b3541e" stroke-dasharray="7 4"'),
    ]
):
    at = 190 + 20 * k
    out.append(f'<path d="M300 {at}H334" stroke-width="2" {style}/>' + text(342, at + 4, words))
out.append("</svg>")
with open(sys.argv[1], "w", encoding="utf-8") as file:
    file.write("\n".join(out) + "\n")
