/** Owns what every group of handlers is given: the connection, the shop, and what is known of the editor at the other end. */
import type { Connection } from 'vscode-languageserver';
import type { Files } from '../shop/files.ts';
import type { Shop } from '../shop/shop.ts';
import type { Abilities } from './abilities.ts';
import type { After } from './after.ts';
import type { Dispatcher } from './dispatch.ts';
import type { Places } from './positions.ts';
import type { Settings } from './settings.ts';
import type { Typing } from './typing.ts';

export interface Context extends Dispatcher {
  readonly connection: Connection;
  readonly shop: Shop;
  /** Every file that can be reached: on the disk, or through the editor. */
  readonly files: Files;
  readonly places: Places;
  readonly typing: Typing;
  readonly after: After;
  /** As they are now: what the editor can do is known once it has introduced itself. */
  readonly abilities: () => Abilities;
  readonly settings: () => Settings;
  /** Resolves once the settings that the editor has at the start are known. */
  readonly ready: () => Promise<void>;
  /** The folders that the editor has open. */
  readonly folders: () => readonly string[];
}
