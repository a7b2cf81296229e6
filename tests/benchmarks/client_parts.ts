/** What the benchmarks run of the client: its store and its talk with the shop, without screens. */
export { disconnect, write } from '../../webclient/src/store/connection.ts'
export * as store from '../../webclient/src/store/index.ts'
export { NAME } from '../../webclient/src/store/schema.ts'
export { pullAll } from '../../webclient/src/sync/pull.ts'
export { pushAll } from '../../webclient/src/sync/push.ts'
