"""The page of the calculators: its list, one calculator's form, and the answer to what was typed, all in words.

Loaded when the page is opened. Nothing is worked out here: `reckon` does that, and this reads what was typed to it and
says what came back.
"""

from . import plain, quantity, windows
from .calculator import ListInput
from .calculators import CALCULATORS
from .reckon import reckon
from .reckon_units import ECHO, METRIC, UNITS, WORDS, after_number, decimals_for
from .reckon_words import CHAPTERS, CHOICES, COLUMNS, LEFT_OUT, WANTED, words_for

EMPTY = "not with these figures"
SOME = "none"
YES_OR_NO = (("yes", "yes"), ("no", "no"))
#: Units as the trade's sentences write them, and as a screen does.
SPELT = (("lbf*ft", "ft-lb"), ("lbf*in", "in-lb"), ("N*m", "N\u00b7m"))
DEGREES = " deg"
#: Results that only say whether the method held: the answer says that by itself.
SAID_APART = ("refused", "message")


def page(args):
    """Without a `name` the list of all; with one its form, and with `typed` ({key: {text, units}}) the answer too."""
    name = args.get("name")
    if name is None:
        return {"chapters": [_chapter(title, rows) for title, rows in CHAPTERS]}
    if name not in CALCULATORS:
        raise plain.Refusal("calculator_unknown", "There is no calculator at this address.", {"name": name})
    return form(name) if args.get("typed") is None else answer(name, args["typed"])


def _chapter(title, rows):
    return {"title": title, "calculators": [{"name": n, "title": said, "purpose": why} for n, said, why in rows]}


# --- the form --------------------------------------------------------------------------------------------------------


def form(name):
    """Title, purpose and inputs of a calculator, in the order in which they are asked."""
    title, purpose = _named(name)
    return {"name": name, "title": title, "purpose": purpose, "inputs": [_input(name, key) for key in asked(name)]}


def _named(name):
    for _, rows in CHAPTERS:
        for one, title, purpose in rows:
            if one == name:
                return title, purpose
    raise plain.Refusal("calculator_unknown", "There is no calculator at this address.", {"name": name})


def asked(name):
    """The keys that a page asks for, the required ones first, each in the order of the names."""
    inputs = CALCULATORS[name].inputs
    keys = [key for key in plain.keys_in_order(inputs) if (name, key) not in LEFT_OUT]
    return [key for key in keys if inputs[key].required] + [key for key in keys if not inputs[key].required]


def shape(name, key):
    """How an input is typed: number, numbers, rows, choice or text."""
    declared = CALCULATORS[name].inputs[key]
    if (name, key) in COLUMNS:
        return "rows"
    if declared.kind == "flag" or key in CHOICES:
        return "choice"
    if declared.kind == "numbers" or type(declared) is ListInput:
        return "numbers"
    return "text" if declared.kind == "text" else "number"


def _input(name, key):
    declared = CALCULATORS[name].inputs[key]
    return {
        "key": key,
        "words": words_for(name, key),
        "shape": shape(name, key),
        "required": declared.required,
        "signed": declared.over is None and declared.least is None,
        "columns": [_column(words, kind, key) for words, kind in columns(name, key)],
        "choices": [{"id": word, "words": said} for word, said in choices(name, key)],
        "usual": _usual(key, declared),
    }


def columns(name, key):
    """(words, kind) of each figure of an input: one but for rows."""
    declared = CALCULATORS[name].inputs[key]
    if (name, key) in COLUMNS:
        return COLUMNS[(name, key)]
    return ((words_for(name, key), "whole" if declared.kind == "numbers" else declared.kind),)


def _column(words, kind, key):
    return {"words": words, "units": [{"id": unit, "words": WORDS[unit]} for unit in units_of(kind, key)]}


def units_of(kind, key):
    """Units to pick for a figure, first the usual one; none where it has none."""
    return UNITS.get((kind, key)) or UNITS.get((kind, None)) or ()


def choices(name, key):
    if CALCULATORS[name].inputs[key].kind == "flag":
        return YES_OR_NO
    return CHOICES.get(key, ())


def _usual(key, declared):
    """What holds where nothing is typed, in words; empty where nothing does."""
    if declared.default is None or declared.default is False:
        return ""
    if type(declared.default) is str:
        return dict(CHOICES[key]).get(declared.default, declared.default)
    listed = declared.default if type(declared.default) in (list, tuple) else (declared.default,)
    units = units_of(declared.kind, key)
    return ", ".join([shown(declared.kind, number, units[0] if units else None) for number in listed])


# --- the answer ------------------------------------------------------------------------------------------------------


def answer(name, typed):
    """What is still missing, or what is wrong in one sentence, or the results with sources and cautions."""
    given = {key: _read(name, key, typed[key]) for key in asked(name) if plain.bare(_text(typed.get(key))) != ""}
    missing = [key for key in asked(name) if CALCULATORS[name].inputs[key].required and key not in given]
    try:
        # What is typed is looked at before the rest is there: a slip is told where the hand still is.
        if missing:
            _look_at(name, given)
            return _said(missing=[words_for(name, key) for key in missing])
        return _found(name, reckon(name, given), typed)
    except plain.Refusal as refusal:
        return _said(problem={"key": refusal.details.get("key"), "words": sentence(name, refusal)})


def _said(missing=(), problem=None, refused=None, shown=(), sources=(), cautions=()):
    return {
        "missing": list(missing),
        "problem": problem,
        "refused": refused,
        "results": list(shown),
        "sources": list(sources),
        "cautions": list(cautions),
    }


def _found(name, found, typed):
    cautions = [in_words(name, caution) for caution in found["cautions"]]
    if found.get("refused"):
        return _said(refused=in_words(name, found["reason"]), sources=found["sources"], cautions=cautions)
    return _said(shown=results(name, found["outputs"], typed), sources=found["sources"], cautions=cautions)


def _text(one):
    return one.get("text", "") if type(one) is dict else ""


def _look_at(name, given):
    for key in plain.keys_in_order(given):
        CALCULATORS[name].inputs[key].read(key, given[key])


def _read(name, key, one):
    """What was typed in an input, as its calculator takes it."""
    form_of, cells, text = shape(name, key), columns(name, key), plain.bare(one["text"])
    units = one.get("units", [])
    if form_of in ("choice", "text"):
        return text
    if form_of == "number":
        return _cell(text, cells[0][1], units[:1])
    if form_of == "numbers":
        return [_cell(part, cells[0][1], units[:1]) for part in _parts(text, cells[0][1])]
    rows = [_row(line, cells, units) for line in text.split("\n") if plain.bare(line) != ""]
    return {row[0]: row[1:] for row in rows} if cells[0][1] is None else rows


def _parts(text, kind):
    """Figures that stand beside each other: between them a space or semicolon, between whole numbers a dash too."""
    for mark in ";\n\t,-" if kind == "whole" else ";\n\t":
        text = text.replace(mark, " ")
    return [part for part in text.split(" ") if part != ""]


def _row(line, cells, units):
    parts = _parts(line, cells[0][1])
    return [
        _cell(part, cells[at][1] if at < len(cells) else "length", units[at : at + 1]) for at, part in enumerate(parts)
    ]


def _cell(text, kind, units):
    if kind == "whole":
        return _whole(text)
    return text if kind is None else text + after_number(units[0] if units else "")


def _whole(text):
    """A whole number; anything else stays text, which the calculator refuses by name."""
    digits = [letter for letter in text if letter in "0123456789"]
    return int(text) if text != "" and len(digits) == len(text) and len(text) < plain.MOST_DIGITS else text


# --- words -----------------------------------------------------------------------------------------------------------


def sentence(name, refusal):
    """A refusal as the page says it: the input by its words, what is wrong, what is plausible."""
    key, message = refusal.details.get("key"), refusal.message
    if type(key) is not str or not message.startswith(key):
        return in_words(name, message)
    why = message[len(key) :]
    for beyond in (", give ", "; plausible ", ", such as ["):
        why = why.partition(beyond)[0]
    plausible = windows.words(name, key)
    said = why[:-1] if why.endswith(".") else why
    return first_up(words_for(name, key)) + in_words(name, said + ("; " + plausible if plausible else "")) + "."


def in_words(name, text):
    """A sentence of a calculator without a key or a unit's id in it."""
    calculator = CALCULATORS[name]
    for keys in (calculator.inputs, calculator.outputs):
        for key in plain.in_order(plain.keys_in_order(keys), key=len, reverse=True):
            text = _without_key(name, key, text)
    for unit, said in SPELT:
        text = text.replace(unit, said)
    return text[: -len(DEGREES)] + "\u00b0" if text.endswith(DEGREES) else text.replace(DEGREES + ",", "\u00b0,")


def _without_key(name, key, text):
    if (name, key) in LEFT_OUT:
        return text
    for end in (":", " is missing"):
        if text.startswith(key + end):
            text = first_up(words_for(name, key)) + text[len(key) :]
    return text.replace(key, words_for(name, key)) if "_" in key else text


def first_up(text):
    return text[:1].upper() + text[1:]


# --- results ---------------------------------------------------------------------------------------------------------


def results(name, outputs, typed):
    """Each result with its words, in the units that were typed, the one that is looked for first: [{words, lines}]."""
    found = []
    for key in plain.in_order(plain.keys_in_order(outputs), key=lambda key: 0 if WANTED.get(name) == key else 1):
        lines = _lines(name, key, outputs[key]["value"], typed)
        if key not in SAID_APART and lines:
            found.append({"words": words_for(name, key), "lines": lines})
    return found


def _lines(name, key, value, typed):
    kind = CALCULATORS[name].outputs[key]
    if value is None:
        return [EMPTY]
    if type(value) is str:
        return [value] if value != "" else []
    if type(value) is dict:
        return [
            _cylinder(number) + quantity.with_unit(_trimmed(value[str(number)]), "deg") for number in _numbers(value)
        ]
    if type(value) in (list, tuple):
        return _listed(kind, value, result_unit(name, kind, typed))
    return [shown(kind, value, result_unit(name, kind, typed))]


def _numbers(table):
    return plain.in_order([int(key) for key in plain.keys_in_order(table)])


def _cylinder(number):
    return "cylinder " + str(number) + ": "


def _listed(kind, value, unit):
    if not value:
        return [SOME]
    if kind in ("table", "list"):
        return [_row_words(row) for row in value] if type(value[0]) in (list, tuple) else [", ".join(value)]
    return [shown(kind, number, unit) for number in value]


def _row_words(row):
    """A pair of companions, or a crank angle and the valve that is set there ("1I")."""
    if type(row[1]) is not str:
        return " and ".join([str(number) for number in row])
    side = "intake " if row[1].endswith("I") else "exhaust "
    return quantity.with_unit(_trimmed(row[0]), "deg") + ": " + side + row[1][:-1]


def _trimmed(number):
    return plain.number_text(number, 3).rstrip("0").rstrip(".")


def result_unit(name, kind, typed):
    """The unit in which the first input of that kind was typed; else the usual one of the system that was typed in."""
    known = list(UNITS.get((kind, None), ()))
    picked = _picked(name, typed)
    for one, unit in picked:
        if one == kind and unit in known:
            return unit
    metric = [unit in METRIC for _, unit in picked if unit in METRIC or unit in ECHO]
    if metric and metric[0]:
        known = [unit for unit in known if unit in METRIC] or known
    return known[0] if known else None


def _picked(name, typed):
    found = []
    for key in asked(name):
        units = typed[key].get("units", []) if type(typed.get(key)) is dict else []
        for at, unit in enumerate(units[: len(columns(name, key))]):
            found.append((columns(name, key)[at][1], unit))
    return found


def shown(kind, number, unit):
    """A canonical number in a unit, with its echo in the other system."""
    if unit is None:
        return _trimmed(number) if kind == "count" else plain.number_text(number, decimals_for(number, None, kind))
    other = ECHO.get(unit)
    words = _with_unit(kind, number, unit)
    return words + (" (" + _with_unit(kind, number, other) + ")" if other else "")


def _with_unit(kind, number, unit):
    scale, known = after_number(unit), unit
    if scale[:1] == "e":
        number, known = number * 1e6, unit[len("1e-6 ") :]
    value = quantity.from_canonical(kind, number, known)
    text = plain.number_text(value, decimals_for(value, unit, kind))
    if unit == "%" and "." in text:
        text = text.rstrip("0").rstrip(".")
    return quantity.with_unit(text, "deg") if unit == "deg" else (text + " " + WORDS[unit]).rstrip(" ")
