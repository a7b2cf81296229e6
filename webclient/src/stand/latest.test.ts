import { expect, it } from 'vitest'
import { Latest } from './latest.ts'

function setUp() {
  const asked: string[] = []
  const answers: string[] = []
  const failures: unknown[] = []
  const open: ((answer: string) => void)[] = []
  const latest = new Latest<string, string>(
    (question) => {
      asked.push(question)
      if (question === 'bad') return Promise.reject(new Error('bad'))
      return new Promise((resolve) => open.push(resolve))
    },
    (question, answer) => answers.push(`${question}:${answer}`),
    (failure) => failures.push(failure),
  )
  const settle = () => new Promise((resolve) => setTimeout(resolve))
  return { latest, asked, answers, failures, open, settle }
}

it('asks one question at a time and skips those that a later key made old', async () => {
  const { latest, asked, answers, open, settle } = setUp()
  for (const text of ['2', '2.', '2.5', '2.57']) latest.ask(text)
  expect(asked).toEqual(['2'])
  open[0]?.('x')
  await settle()
  expect(asked).toEqual(['2', '2.57'])
  open[1]?.('y')
  await settle()
  expect(answers).toEqual(['2:x', '2.57:y'])
})

it('goes on after a question that failed', async () => {
  const { latest, asked, failures, settle } = setUp()
  latest.ask('bad')
  await settle()
  latest.ask('2')
  expect(failures).toHaveLength(1)
  expect(asked).toEqual(['bad', '2'])
})
