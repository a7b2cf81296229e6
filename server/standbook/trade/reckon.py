"""Runs calculators by name."""

from . import plain
from .calculators import CALCULATORS


def reckon(name, inputs):
    """Runs one calculator; a method's own refusal is an answer (`refused`, `reason`), bad input a Refusal."""
    if name not in CALCULATORS:
        raise plain.Refusal("calculator_unknown", "There is no calculator of this name.", {"name": name})
    calculator = CALCULATORS[name]
    values = calculator.read(inputs)
    answer = {
        "name": name,
        "inputs": inputs,
        "outputs": {},
        "sources": [calculator.origin()],
        "cautions": list(calculator.cautions),
    }
    try:
        answer["outputs"] = calculator.write(calculator.work(values))
    except plain.MethodRefused as refusal:
        answer["outputs"] = calculator.write(calculator.when_refused(refusal.message))
        answer["refused"] = True
        answer["reason"] = refusal.message
    return answer
