/** A storm of events is one batch once it is quiet, or after half a second; batches never overlap. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { createDispatcher } from '../../server/lsp/dispatch.ts';
import { createGather, forEachOf } from '../../server/lsp/gather.ts';
import { registerWatching } from '../../server/lsp/watching.ts';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

const OPTIONS = { quiet: 100, cap: 500 };

describe('gathering', () => {
  it('waits for quiet, and takes each name once', async () => {
    const batches: (readonly string[])[] = [];
    const gather = createGather(OPTIONS, async (names) => void batches.push(names));
    gather.add(['a', 'b', 'a']);
    await vi.advanceTimersByTimeAsync(90);
    gather.add(['b', 'c']);
    await vi.advanceTimersByTimeAsync(90);
    expect(batches).toEqual([]);
    await vi.advanceTimersByTimeAsync(10);
    expect(batches).toEqual([['a', 'b', 'c']]);
  });

  it('waits no longer than the cap while events go on', async () => {
    const batches: (readonly string[])[] = [];
    const gather = createGather(OPTIONS, async (names) => void batches.push(names));
    for (let i = 0; i < 12; i++) {
      gather.add([String(i)]);
      await vi.advanceTimersByTimeAsync(50);
    }
    expect(batches.map((names) => names.length)).toEqual([10]);
    await vi.advanceTimersByTimeAsync(100);
    expect(batches.map((names) => names.length)).toEqual([10, 2]);
  });

  it('begins no batch while the one before is worked off', async () => {
    let running = 0;
    const most: number[] = [];
    const gather = createGather(OPTIONS, async () => {
      most.push(++running);
      await new Promise((resolve) => setTimeout(resolve, 1000));
      running--;
    });
    gather.add(['a']);
    await vi.advanceTimersByTimeAsync(200);
    gather.add(['b']);
    await vi.advanceTimersByTimeAsync(3000);
    expect(most).toEqual([1, 1]);
  });
});

it('the server reads no batch of changed files while the one before is read', async () => {
  const begun: string[] = [];
  let change: (params: { readonly changes: readonly { readonly uri: string }[] }) => void = () => {};
  const connection = {
    onDidChangeWatchedFiles: (handler: typeof change) => {
      change = handler;
    },
  };
  const reread = async (uri: string) => {
    begun.push(uri);
    await new Promise((resolve) => setTimeout(resolve, 1000));
    return false;
  };
  const shop = { store: { reread } };
  const dispatcher = createDispatcher(connection as never, shop as never);
  dispatcher.begin();
  const context = { ...dispatcher, connection, shop };
  registerWatching(context as never, {} as never, OPTIONS, {} as never);
  const [one, two] = ['one.tagstrip.md', 'two.tagstrip.md'];
  change({ changes: [{ uri: one }] });
  await vi.advanceTimersByTimeAsync(200);
  change({ changes: [{ uri: two }] });
  await vi.advanceTimersByTimeAsync(200);
  expect(begun).toEqual([one]);
  await vi.advanceTimersByTimeAsync(1000);
  expect(begun).toEqual([one, two]);
});

it('files are read ten at once at most', async () => {
  vi.useRealTimers();
  let running = 0;
  let most = 0;
  const done: number[] = [];
  await forEachOf(
    Array.from({ length: 95 }, (_, i) => i),
    10,
    async (i) => {
      most = Math.max(most, ++running);
      await Promise.resolve();
      running--;
      done.push(i);
    },
  );
  expect(most).toBe(10);
  expect(done).toHaveLength(95);
});
