"""Writes a table: comment lines that say where it comes from, column names, rows."""
import csv
import pathlib

FOLDER = pathlib.Path(__file__).resolve().parent.parent


def digits(value, count):
    """A number to so many significant digits; anything else as it is."""
    return f"{value:.{count}g}" if isinstance(value, float) else value


def write(name, comments, columns, rows, count=9):
    path = FOLDER / name
    path.parent.mkdir(exist_ok=True)
    with open(path, "w", newline="") as file:
        for comment in comments:
            file.write(f"# {comment}\n")
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(columns)
        for row in rows:
            writer.writerow(digits(float(cell), count) if hasattr(cell, "dtype") else digits(cell, count)
                            for cell in row)


def read(name):
    with open(FOLDER / name) as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))
