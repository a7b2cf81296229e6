/** What the machine runs of the client: its store and its talk with the shop, whole. */
export * as store from '../../../webclient/src/store/index.ts'
export * as sync from '../../../webclient/src/sync/index.ts'
