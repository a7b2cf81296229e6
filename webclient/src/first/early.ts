/** Opens the book as soon as this is read: the first script fetches it for that alone, ahead of the rest. */
import { openEarly } from '../store/index.ts'

openEarly()
