"""Lists of defects with the reason why nobody need notice them."""


class Wrong(Exception):
    """Something other than a defect is wrong."""


def name_of(place):
    """Stays true when lines move."""
    return f"{place['file'].removeprefix('firmware/')}: {place['kind']}: {place['what']}"


def read_reasons(path):
    """{name: reason}. A reason stands in square brackets; below it names, a line each."""
    reasons, reason = {}, None
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        if line.startswith("[") and line.endswith("]"):
            reason = line[1:-1]
        elif reason is None or line in reasons:
            raise Wrong(f"{path}:{number}: expected '[reason]' and below it names, each once")
        else:
            reasons[line] = reason
    return reasons


def read_redundant(path):
    """`cause / output: reason` a line."""
    cells = {}
    for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        cell, _, reason = (part.strip() for part in line.partition(":"))
        if not reason or " / " not in cell or cell in cells:
            raise Wrong(f"{path}:{number}: expected 'cause / output: reason', each cell once")
        cells[cell] = reason
    return cells
