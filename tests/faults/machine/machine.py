"""The same world in hypothesis' hands: it chooses what happens, tries odd mixtures, and makes a failing story short."""

import random
import tempfile
from pathlib import Path

from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule

from tests.faults.machine import driver
from tests.faults.machine.checks import check
from tests.faults.machine.healing import heal
from tests.faults.machine.memory import memory
from tests.faults.machine.phones import Phones
from tests.faults.machine.shop import shop_folder
from tests.faults.machine.story import Story
from tests.faults.machine.world import World

LUCK = st.integers(0, 2**32 - 1)
WHO = st.integers(0, 5)


class Ground:
    """What all stories of one run share: the phones' process and an empty shop to copy."""

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory(dir=memory())
        self.folder = Path(self._folder.name)
        self.template = shop_folder(self.folder / "template")
        self.phones = Phones()
        self.stories: list[Story] = []

    def close(self) -> None:
        self.phones.close()
        self._folder.cleanup()


def machine_on(ground: Ground) -> type[RuleBasedStateMachine]:
    """A state machine with one rule for each thing that can happen."""
    body = {act.__name__: as_rule(act) for act, _ in driver.ACTS}
    return type("FaultMachine", (Machine,), {**body, "ground": ground})


def as_rule(act: driver.Act) -> object:
    def happen(self: "Machine", luck: int, who: int) -> None:
        self.let(act, luck, who)

    happen.__name__ = act.__name__
    return rule(luck=LUCK, who=WHO)(happen)


class Machine(RuleBasedStateMachine):
    ground: Ground

    def __init__(self) -> None:
        super().__init__()
        self.world: World | None = None
        self.broken = False

    @initialize(seed=LUCK)
    def begin(self, seed: int) -> None:
        story, network = self.ground.folder / "story", driver.on_the_network(seed)
        self.world = World(self.ground.phones, self.ground.template, story, seed, network)
        driver.people(self.world, random.Random(seed))

    @rule(badness=st.sampled_from([0.0, 0.05, 0.2, 0.5]))
    def weather(self, badness: float) -> None:
        assert self.world
        self.world.badness = badness
        self.world.story.tell(f"{badness:.0%} of the requests are in trouble from now on")

    def let(self, act: driver.Act, luck: int, who: int) -> None:
        assert self.world
        names = sorted(self.world.phones)
        try:
            driver.happen(self.world, act, self.world.phones[names[who % len(names)]], random.Random(luck))
        except BaseException:
            self.broken = True
            raise

    def teardown(self) -> None:
        if self.world is None:
            return
        try:
            if not self.broken:
                heal(self.world)
                check(self.world)
                self.ground.stories.append(self.world.story)
        finally:
            self.world.end()
