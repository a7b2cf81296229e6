"""Runs calculators by name."""

from . import plain, windows
from .calculator import written
from .calculators import CALCULATORS
from .factors import CANONICAL


def reckon(name, inputs):
    """Runs one calculator; a method's own refusal is an answer (`refused`, `reason`), bad input a Refusal."""
    if name not in CALCULATORS:
        raise plain.Refusal("calculator_unknown", "There is no calculator of this name.", {"name": name})
    if type(inputs) is not dict:
        raise plain.Refusal("input_wrong", "Give the inputs by their names.", {"name": name})
    try:
        return _answer(name, CALCULATORS[name], inputs)
    except plain.Refusal as refusal:
        raise _with_range(name, refusal) from None


def _with_range(name, refusal):
    """The refusal with the plausible range of the input that it names, where the trade has one."""
    plausible = windows.words(name, refusal.details.get("key"))
    if not plausible:
        return refusal
    return plain.Refusal(refusal.code, refusal.message[:-1] + "; " + plausible + ".", refusal.details)


def _answer(name, calculator, inputs):
    values = calculator.read(inputs)
    answer = {
        "name": name,
        "inputs": inputs,
        "outputs": {},
        "sources": [calculator.origin()],
        "cautions": list(calculator.cautions) + _questions(name, calculator, inputs, values),
    }
    try:
        results = calculator.work(values)
    except plain.MethodRefused as refusal:
        answer["outputs"] = calculator.write(calculator.when_refused(refusal.message))
        answer["refused"] = True
        answer["reason"] = refusal.message
        return answer
    answer["outputs"] = calculator.write(results)
    answer["cautions"].extend(calculator.questions(values, results))
    return answer


def _questions(name, calculator, inputs, values):
    """What to ask of values that are given and lie outside the plausible range."""
    asked = []
    for key in plain.keys_in_order(inputs):
        if type(values[key]) is float:
            asked.append(windows.question(name, key, calculator.inputs[key].kind, values[key]))
    return [question for question in asked if question]


def listed():
    """Every calculator with its inputs and outputs, in order of the names, for a list or a form."""
    return [_one(name, CALCULATORS[name]) for name in plain.keys_in_order(CALCULATORS)]


def _one(name, calculator):
    inputs = []
    for key in plain.keys_in_order(calculator.inputs):
        declared = calculator.inputs[key]
        inputs.append(
            {
                "key": key,
                "kind": declared.form(),
                "unit": written(CANONICAL.get(declared.measured_as())),
                "required": declared.required,
                "default": declared.default,
            }
        )
    outputs = [
        {"key": key, "kind": calculator.outputs[key], "unit": written(CANONICAL.get(calculator.outputs[key]))}
        for key in plain.keys_in_order(calculator.outputs)
    ]
    return {"name": name, "inputs": inputs, "outputs": outputs}
