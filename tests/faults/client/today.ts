/** What the machine runs of the client: its store, its talk with the shop, its photos and its files, whole. */
export * as handover from '../../../webclient/src/app/handover.ts'
export * as photos from '../../../webclient/src/app/photos.ts'
export * as store from '../../../webclient/src/store/index.ts'
export * as sync from '../../../webclient/src/sync/index.ts'
