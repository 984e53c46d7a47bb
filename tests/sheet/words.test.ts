import { describe, expect, it } from 'vitest';
import { defaultWords, extendWords, findTopic } from '../../server/sheet/words.ts';

describe('heading words', () => {
  it.each([
    ['Complaint', 'complaint'],
    ['COMPLAINT, as told on the phone', 'complaint'],
    ["Owner's complaint", 'complaint'],
    ['Intake', 'intake'],
    ['As found', 'as-found'],
    ['as-found, second evening', 'as-found'],
    ['Fault finding', 'as-found'],
    ['Findings', 'as-found'],
    ['Work', 'work'],
    ['Work done', 'work'],
    ['Changes', 'work'],
    ['Mods', 'work'],
    ['Repair', 'work'],
    ['As left', 'as-left'],
    ['Left', 'as-left'],
    ['After', 'as-left'],
    ['After work', 'as-left'],
    ['Before and after', 'as-left'],
    ['Check-out', 'as-left'],
    ['Check out', 'as-left'],
    ['After repair', 'as-left'],
    ['2. As found', 'as-found'],
    ['Measurements before', 'as-found'],
    ['DC readings as found, second evening', 'as-found'],
    ['Measurements after repair', 'as-left'],
    ['Voltages as left', 'as-left'],
    ['Final check', 'as-left'],
    ['To do', 'next-time'],
    ['🔥 As found', 'as-found'],
    ['Owner', 'owner'],
    ['Left alone', 'left-alone'],
    ['Declined', 'declined'],
    ['Next time', 'next-time'],
    ['Wanted', 'wanted'],
    ['Quote', 'wanted'],
    ['Order', 'wanted'],
    ['Parts', 'parts'],
    ['Parts to order', 'wanted'],
    ['Differs from revision a', 'differs'],
    ['Safety', 'safety'],
  ])('%s is of the topic %s', (heading, topic) => {
    expect(findTopic(defaultWords, heading)).toBe(topic);
  });

  it.each([
    'Workshop',
    'Heaters',
    'The work',
    'Foundry',
    '',
    '🔥',
    'Left-hand socket',
    'After dinner',
    'Bias',
    'Readings',
    'Test order',
    '12',
  ])('%s is the author’s own', (heading) => {
    expect(findTopic(defaultWords, heading)).toBeUndefined();
  });

  it('takes the longest entry first, and a shop’s words over ours', () => {
    const words = extendWords(defaultWords, [
      { heading: 'Befund', topic: 'as-found' },
      { heading: 'Nach der Reparatur', topic: 'as-left' },
      { heading: 'Mods', topic: 'wanted' },
      { heading: ' !! ', topic: 'work' },
    ]);
    expect(findTopic(words, 'Befund am Montag')).toBe('as-found');
    expect(findTopic(words, 'NACH DER REPARATUR')).toBe('as-left');
    expect(findTopic(words, 'Nach der Pause')).toBeUndefined();
    expect(findTopic(words, 'Mods')).toBe('wanted');
    expect(findTopic(defaultWords, 'Mods')).toBe('work');
    expect(findTopic(words, '')).toBeUndefined();
  });
});
