"""Sums and maxima of the meter sample files, worked out without the program.

Reads the files in checks/meter with the XML and CSV readers of Python's standard library (Python 3.11; nothing else is
needed) and writes checks/meter/sums.toml. Run from the root of the checkout:

    python3.11 checks/reference/meter_sums.py
"""

import csv
import datetime
import pathlib
import xml.etree.ElementTree as ElementTree

ROOT = pathlib.Path(__file__).resolve().parents[1] / "meter"
ESPI = "{http://naesb.org/espi}"
ESTIMATED = {8, 9, 12}
EDITED = {7, 11, 13, 15, 16}


def second_sunday(year, month, which):
    """Date of the which-th Sunday of a month."""
    first = datetime.date(year, month, 1)
    return first + datetime.timedelta(days=(6 - first.weekday()) % 7 + 7 * (which - 1))


def local(unix_s, standard_s):
    """Local time in the United States since 2007: summer time from the second Sunday of March to the first of November."""
    utc = datetime.datetime.fromtimestamp(unix_s, datetime.timezone.utc).replace(tzinfo=None)
    begins = datetime.datetime.combine(second_sunday(utc.year, 3, 2), datetime.time(2))
    ends = datetime.datetime.combine(second_sunday(utc.year, 11, 1), datetime.time(2))
    standard = utc + datetime.timedelta(seconds=standard_s)
    summer = standard + datetime.timedelta(hours=1)
    return summer if begins <= standard and summer < ends else standard


def of_xml(path):
    """Readings of a Green Button file: start, length, watt-hours, quality."""
    root = ElementTree.parse(path).getroot()
    kind = root.find(f".//{ESPI}ReadingType")
    assert kind.findtext(f"{ESPI}uom") == "72"
    factor = 10.0 ** int(kind.findtext(f"{ESPI}powerOfTenMultiplier"))
    default = int(kind.findtext(f"{ESPI}defaultQuality") or 14)
    offset = int(root.findtext(f".//{ESPI}tzOffset"))
    readings = []
    for reading in root.iter(f"{ESPI}IntervalReading"):
        period = reading.find(f"{ESPI}timePeriod")
        quality = [int(q.text) for q in reading.iter(f"{ESPI}quality")]
        readings.append(
            (
                int(period.findtext(f"{ESPI}start")),
                int(period.findtext(f"{ESPI}duration")),
                int(reading.findtext(f"{ESPI}value")) * factor,
                max(quality) if quality else default,
            )
        )
    return readings, offset


def of_csv(path):
    """Readings of the CSV file, each an hour long."""
    readings = []
    with open(path, newline="") as file:
        for row in csv.DictReader(file):
            start = datetime.datetime.fromisoformat(row["start"]).timestamp()
            readings.append((int(start), 3600, float(row["value"]) * 1000.0, 14))
    return readings, -6 * 3600


def case(name, readings, offset):
    """One case of the check file."""
    unique = sorted(set(readings))
    starts = [reading[0] for reading in unique]
    gaps = [(a, b) for a, b in zip(unique, unique[1:]) if b[0] > a[0] + a[1]]
    top = max(unique, key=lambda reading: (reading[2] / reading[1], -reading[0]))
    hours = [0.0] * 24
    for start, length, energy, _ in unique:
        hours[local(start, offset).hour] += energy
    busiest = max(range(24), key=lambda hour: hours[hour])
    expect = {
        "read": len(readings),
        "kept": len(unique),
        "energy_wh": round(sum(reading[2] for reading in unique), 6),
        "maximum_w": round(top[2] * 3600.0 / top[1], 6),
        "maximum_start_unix_s": top[0],
        "first_unix_s": starts[0],
        "last_unix_s": unique[-1][0] + unique[-1][1],
        "gap_count": len(gaps),
        "estimated_s": sum(r[1] for r in unique if r[3] in ESTIMATED),
        "edited_s": sum(r[1] for r in unique if r[3] in EDITED),
        "busiest_hour": busiest,
        "busiest_hour_wh": round(hours[busiest], 6),
    }
    body = ", ".join(f"{key} = {value}" for key, value in expect.items())
    return (
        f'\n[[case]]\nid = "{name}"\nexpect = {{ {body} }}\n'
        'tolerance = { relative = 1e-9, why = "same additions in another order" }\n'
    )


def main():
    head = '''# Written by checks/reference/meter_sums.py; do not edit.
[source]
document = "the files beside this one, added up with the standard library of Python"
where = "checks/reference/meter_sums.py"
status = "computed"
kind = "independent"
'''
    for path in sorted(ROOT.glob("*.xml")):
        head += case(path.name, *of_xml(path))
    for path in sorted(ROOT.glob("*.csv")):
        head += case(path.name, *of_csv(path))
    (ROOT / "sums.toml").write_text(head)


if __name__ == "__main__":
    main()
