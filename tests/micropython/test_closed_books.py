"""What a book took of a phone's memory is free again once it is closed, in the phone's own interpreter.

Its collector takes any word that looks like an address for one, and bytecode is full of them: a book whose parts all
lead to one another stayed whole when any of them seemed to be meant.
"""

import json
import subprocess
from pathlib import Path

from standbook import brainpack
from standbook.config import CHECKOUT
from tests.micropython.brain import node
from tests.trade.book_maker import BUILD, MICROMETER, BookMaker

CLIENT = CHECKOUT / "webclient"
SCRIPT = f"""
import {{ readFileSync }} from 'node:fs'
import {{ createRequire }} from 'node:module'
import {{ entryOf, equip, feedText, unpack }} from '{(CLIENT / "src" / "brain" / "host.js").as_uri()}'
const find = createRequire('{(CLIENT / "package.json").as_uri()}')
const file = (ending) => find.resolve(`@micropython/micropython-webassembly-pyscript/micropython.${{ending}}`)
const {{ loadMicroPython }} = await import(file('mjs'))
const url = file('wasm')
const python = await loadMicroPython({{ url }})
equip(python, unpack(readFileSync(process.argv[1])))
const [call, gc] = [entryOf(python), python.pyimport('gc')]
const entries = JSON.parse(readFileSync(0, 'utf8'))
const build = JSON.stringify({{ build: '{BUILD}' }})
const used = () => {{ call.rest(); return gc.mem_alloc() }}
const once = () => {{
  call('open', feedText('{BUILD}', entries))
  if (!JSON.parse(call('state', build)).stages) throw new Error('no state')
  const open = used()
  call('close', build)
  return {{ open, closed: used() }}
}}
const before = used()
process.stdout.write(JSON.stringify({{ before, times: [once(), once(), once()] }}))
"""
ROUNDS = 90


def long_book() -> list[dict[str, object]]:
    maker = BookMaker()
    maker.journals()
    for number in range(ROUNDS):
        for place in ("F.0", "F.90", "R.0", "R.90"):
            for main in range(1, 6):
                text = f"2.57{50 + number}"
                maker.reading("journals", f"MJ{main}.{place}", text, why="measured_again", gauge=MICROMETER)
    return [{"text": text, "seq": seq} for seq, text in enumerate(maker.texts, 1)]


def test_the_memory_of_a_closed_book_is_free_again(tmp_path: Path) -> None:
    pack = tmp_path / "trade.pack"
    pack.write_bytes(brainpack.pack())
    words = [node(), "--input-type=module", "-e", SCRIPT, str(pack)]
    done = subprocess.run(words, input=json.dumps(long_book()), capture_output=True, text=True, check=True)
    told = json.loads(done.stdout)
    for time in told["times"]:
        taken = time["open"] - told["before"]
        # What is left are tables and texts that any book looks up again.
        assert time["closed"] - told["before"] < taken / 2, told
