/** Owns a part in a few words: what it is marked with and what it does. */
import type { FittedPart, Network, PhaseView, Role } from '../bench/model.ts';
import { calledRole } from '../bench/saying.ts';
import { show } from './verdict.ts';

/** `470 Ω 5 W wirewound, cathode resistor of V5, V6`; `82 kΩ, anode load of V2A in a long-tail pair`. */
export function describePart(view: PhaseView, part: FittedPart): string {
  const value = part.value === undefined ? part.type?.text : show(part.value.quantity);
  const ratings = [part.ratings.voltage, part.ratings.power, part.ratings.current].flatMap((each) =>
    each === undefined ? [] : [show(each.quantity)],
  );
  const role = view.roles.get(part.ref);
  const does =
    role === undefined || role.role === 'unknown'
      ? undefined
      : `${roleWords(calledRole(role))}${role.serves.length === 0 ? '' : ` of ${role.serves.join(', ')}`}`;
  // What it is a part of is said where that is more than what it does.
  const network = role?.network?.name;
  const within =
    network === undefined || role === undefined || network === calledRole(role)
      ? undefined
      : `in a ${sayNetwork(network)}`;
  const words = [
    [value, ...ratings, ...part.kinds].filter((word) => word !== undefined).join(' '),
    [does, within].filter((word) => word !== undefined).join(' '),
  ].filter((word) => word !== undefined && word !== '');
  return words.length === 0 ? part.class.replaceAll('-', ' ') : words.join(', ');
}

function roleWords(role: Role): string {
  return role === 'volume' ? sayNetwork(role) : role.replaceAll('-', ' ');
}

/** As the trade says it, where its name is not that already. */
const NETWORK_WORDS: Partial<Record<Network, string>> = {
  volume: 'volume control',
  tone: 'tone network',
  bright: 'bright network',
  'treble-cut': 'treble cut',
  'long-tail-pair': 'long-tail pair',
};

function sayNetwork(network: Network): string {
  return NETWORK_WORDS[network] ?? network.replaceAll('-', ' ');
}
