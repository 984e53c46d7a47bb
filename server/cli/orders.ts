/** Owns the verb `orders`: the parts to buy over all open jobs, and what would serve instead. */
import { gatherOrders, type JobOrders, type OrderList, ordersOf } from '../shop/orders.ts';
import { ordersDocument } from '../summary/orders.ts';
import { speechFor } from './call-speech.ts';
import { VERSION } from './json.ts';
import { pathsFor } from './page-paths.ts';
import { printDocument } from './print-document.ts';
import { visitJson } from './repeats-json.ts';
import type { SheetVerb } from './verb.ts';

export const ordersVerb: SheetVerb<JobOrders | undefined> = {
  name: 'orders',
  formats: ['text', 'md', 'html', 'json'],
  isOneDocument: true,
  options: [],
  does: 'the parts to buy over all open jobs, one line a part, with what would serve instead and what that changes',
  part: ({ analysis, places, call }) =>
    ordersOf(analysis, pathsFor(call, places)(analysis.sheet.uri), speechFor(call).shop),
  run: async (desk, parts) => {
    const open: JobOrders[] = [];
    for await (const orders of parts()) if (orders !== undefined) open.push(orders);
    const list = gatherOrders(open);
    printDocument(desk, ordersDocument(list, speechFor(desk.call)), ordersJson(list));
    return 0;
  },
};

/** `grammar/json/orders.schema.json` describes it. */
export function ordersJson({ openJobs, pieces, lines, jobs }: OrderList): Record<string, unknown> {
  return {
    tagstrip: VERSION,
    orders: {
      openJobs,
      pieces,
      lines: lines.map((line) => ({
        class: line.class,
        what: line.what,
        quantity: line.quantity,
        for: line.for.map(({ visit, items }) => ({
          ...visitJson(visit),
          parts: items.map(({ ref, was, role, range }) => ({
            ref,
            ...(was !== undefined && { was }),
            ...(role !== undefined && { role }),
            range,
          })),
        })),
        alsoSoldAs: line.alsoSoldAs,
        servedBy: line.servedBy,
        substitutes: line.substitutes.map(({ of, what, differences }) => ({
          of,
          what,
          differences: differences.map(({ visit, refs, says }) => ({ file: visit.file, refs, says })),
        })),
      })),
      inWords: jobs.flatMap(({ visit, inWords }) =>
        inWords.map((each) => ({ ...visitJson(visit), ...each })),
      ),
    },
  };
}
