/** Owns a part in a few words: what it is marked with and what it does. */
import type { FittedPart, PhaseView } from '../bench/model.ts';
import { show } from './verdict.ts';

/** `470 Ω 5 W wirewound, cathode resistor of V5, V6`. */
export function describePart(view: PhaseView, part: FittedPart): string {
  const value = part.value === undefined ? part.type?.text : show(part.value.quantity);
  const ratings = [part.ratings.voltage, part.ratings.power, part.ratings.current].flatMap((each) =>
    each === undefined ? [] : [show(each.quantity)],
  );
  const role = view.roles.get(part.ref);
  const does =
    role === undefined || role.role === 'unknown'
      ? undefined
      : `${role.role.replaceAll('-', ' ')}${role.serves.length === 0 ? '' : ` of ${role.serves.join(', ')}`}`;
  const words = [
    [value, ...ratings, ...part.kinds].filter((word) => word !== undefined).join(' '),
    does,
  ].filter((word) => word !== undefined && word !== '');
  return words.length === 0 ? part.class.replaceAll('-', ' ') : words.join(', ');
}
