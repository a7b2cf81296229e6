"""A joint reads the same on the phone's interpreter as on the server's, act by act."""

import json

from standbook.trade import calls
from tests.micropython import Brain

from .book_maker import BUILD
from .joint_maker import HEADS, MAINS, JointMaker

PEOPLE = [{"id": "mara", "name": "Mara K."}, {"id": "lead", "name": "Jon T."}]


def books() -> dict[str, JointMaker]:
    """Joints that go through everything: an adapter, steps of the card, a fastener that felt wrong, a new round."""
    heads = JointMaker().set_up(
        adapter=("offset", None),
        wrench_length=("18", "in"),
        adapter_length=("2", "in"),
        adapter_angle=("30", "deg"),
        steps=("30 50 65", None),
        gasket=("composition", None),
    )
    heads.passes(names=("pass1",))
    for number in ("3", "8", "2"):
        heads.say("H1.pass2", number, after=4)
    heads.say("H1.bolt9.felt", "creaked")
    heads.say("H1.bolt9.felt", "tightened_again")
    heads.say("H1.pass2", "all", after=3)
    heads.passes(names=("final",))
    heads.say("H1.retorque", "yes", after=300)
    heads.check(answer="one_moved")
    heads.passes()
    heads.check(person="mara")
    heads.check()
    mains = JointMaker(MAINS).set_up(method=("angle", None), angle=("60", "deg"))
    mains.passes("MC", ("pass1",))
    mains.say("MC.thrust", "yes")
    mains.passes("MC", ("final",))
    mains.check("MC", "angle_watched")
    return {HEADS: heads, MAINS: mains}


def test_every_act_of_a_joint_reads_alike_at_the_stand_and_at_the_desk() -> None:
    with Brain() as phone:
        for step, maker in books().items():
            first = next(at for at, text in enumerate(maker.texts) if json.loads(text)["kind"] == "reading")
            opening = [{"text": text, "seq": at + 1} for at, text in enumerate(maker.texts[:first])]
            asked = [("people", {"people": PEOPLE}), ("open", {"entries": opening})]
            for at, text in enumerate(maker.texts[first:], first):
                asked += [("add", {"entries": [{"text": text, "seq": at + 1}]}), ("guide", {"step": step})]
            asked += [("step", {"step": step}), ("state", {}), ("close", {})]
            for name, more in asked:
                text = json.dumps({"build": BUILD, **more})
                here = json.loads(calls.call(name, text))
                assert "error" not in here
                assert json.loads(phone.call(name, text)) == here, name
