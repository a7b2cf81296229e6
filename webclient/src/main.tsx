/**
 * The first script of the page, small so that it runs early: it opens the book on the device while the browser is
 * still reading the rest, which takes longer than the book.
 */
import './styles/index.css'
import { openEarly } from './store/index.ts'

openEarly()
void import('./begin.tsx')
