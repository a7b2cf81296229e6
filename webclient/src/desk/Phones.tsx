import { useEffect, useState } from 'preact/hooks'
import { devices, strip } from '../parts/seam.ts'
import { Sign, tone } from '../parts/signs.tsx'
import { TakeInFile } from '../parts/TakeInFile.tsx'
import { TroubleLine } from '../parts/TroubleLine.tsx'
import { type Trouble, troubleOf } from '../parts/trouble.ts'
import { moment } from '../parts/when.ts'
import { type Device, deviceName, deviceSays, goesOnAs, worstDevices } from './phonewords.ts'

function useDevices() {
  const [list, setList] = useState<Device[] | null>(null)
  const [trouble, setTrouble] = useState<Trouble | null>(null)
  const contact = strip.value.lastContact
  useEffect(() => {
    devices<{ devices: Device[] }>().then(
      (found) => {
        if (found) setList(worstDevices(found.devices))
        setTrouble(null)
      },
      (failure) => setTrouble(troubleOf(failure)),
    )
  }, [contact])
  return { list, trouble }
}

function DeviceRow({ device, all }: { device: Device; all: Device[] }) {
  const { sign, words } = deviceSays(device)
  const next = goesOnAs(device, all)
  return (
    <li class="card phone-card">
      <h2>{deviceName(device)}</h2>
      <p class="flag">
        <span class={tone(sign)}>
          <Sign name={sign} />
        </span>
        <span>
          {words}
          {next && ` It goes on as: ${next}.`}
        </span>
      </p>
      <p class="soft">Last contact {moment(device.last_contact)}</p>
    </li>
  )
}

/** Every phone and browser that ever wrote into the book: whether the shop has all of it. */
export function Phones() {
  const { list, trouble } = useDevices()
  return (
    <main class="desk-page stack" id="main">
      <h1>Phones and browsers</h1>
      <p class="soft">
        Each gives its entries numbers without a gap, so that what is missing can be told. A name is
        given on the device itself: tap the strip at its top.
      </p>
      <TroubleLine trouble={trouble} />
      <ul class="cards" aria-label="Phones and browsers">
        {list?.map((device) => (
          <DeviceRow key={device.id} device={device} all={list} />
        ))}
      </ul>
      <section class="stack" aria-label="A phone that does not reach the shop">
        <h2>A phone that does not reach the shop</h2>
        <p>
          Tap the strip at its top, write what is unsent to a file, bring the file here and take it
          in. Nothing is entered twice.
        </p>
        <TakeInFile />
      </section>
    </main>
  )
}
