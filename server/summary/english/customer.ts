/** Owns the fixed words for the owner of an amplifier in English. */

export const englishCustomer = {
  title: 'Service report',
  yourAmplifier: 'Your amplifier',
  notAJob: 'This sheet describes no job, so there is nothing in it to report to a customer.',
  told: 'What you told us',
  asked: 'You asked that these stay as they are:',
  did: 'What we found and did',
  known: 'How we know',
  parts: 'Parts replaced or worked on',
  partsIntro:
    'The letter and number are the part’s name on our drawing. Figures are what each part is made for.',
  sameValues: 'new, same values',
  sameType: 'new, same type',
  part: 'Part',
  was: 'Before',
  is: 'Now',
  checks: 'How it was tested after the work',
  measuredAfter: 'Measurements were taken inside the amplifier after the work.',
  measuredBefore: 'Measurements were taken inside the amplifier when it came in.',
  lamp: 'It was also run behind a lamp that limits the current.',
  reduced: 'It was also run at a mains voltage that we held back.',
  onLoad: 'It was measured running into a test load in place of the loudspeaker.',
  onSpeaker: 'It was measured running into a loudspeaker.',
  warm: (minutes: string) => `It had been running for ${minutes} when it was measured after the work.`,
  ripple: 'The hum on the power supply was measured before and after.',
  output: 'Its output was measured before and after.',
  earthBoth:
    'The connection from the earth pin of the mains plug to the metalwork was measured before and after.',
  earthAfter:
    'The connection from the earth pin of the mains plug to the metalwork was measured after the work.',
  measuredParts: 'Parts measured by themselves:',
  readings: {
    title: 'Before and after',
    note: 'What the meters said when the amplifier came in and when it left. The gloss tells what each is; a reading belongs to the mains of its moment.',
    what: 'Measured',
    before: 'When it came in',
    after: 'After the work',
    none: 'No readings in normal running are written on the sheet.',
    mains: { name: 'mains voltage at that moment', does: 'what the wall socket gave' },
    supply: {
      name: 'main supply voltage',
      does: 'direct voltage that the output valves work on; it moves with the mains',
    },
    hum: {
      name: 'hum on the main supply',
      does: 'what the smoothing capacitors leave of it; less is quieter',
    },
    idle: (valve: string) => ({
      name: `current of output valve ${valve}`,
      does: 'what flows through it with no music playing',
    }),
    heat: (valve: string) => ({
      name: `heat in output valve ${valve}`,
      does: 'with no music playing, and as a share of the limit in its data sheet',
    }),
    output: { name: 'test signal at the loudspeaker', does: 'what arrives there of a signal put in' },
    /** What is said of an alternating voltage's number, where it is written. */
    waveGlosses: {
      rms: 'rms is the usual measure of its strength',
      pp: 'peak to peak is from trough to crest',
      peak: 'peak is from the middle to the crest',
    },
    outputAt: (frequency: string) => `at ${frequency}`,
    earth: {
      name: 'earth connection',
      does: 'from the earth pin of the plug to the metalwork; a good one is a small part of an ohm',
    },
  },
  left: 'What we left and recommend',
  next: 'What comes next',
  planned: 'Planned, not done yet:',
  cost: 'Charge and what is covered',
  leftAlone: 'Seen and left as they are:',
  declined: 'Offered and declined:',
  nextTime: 'For next time:',
  advice: 'For you to know',
  advices: {
    open: 'Do not open the amplifier. Inside it stand voltages that can kill, and some of them remain long after it is switched off and the plug is out.',
    loudspeaker:
      'Connect the loudspeaker that it is made for before you switch on, and never pull its lead while the amplifier is playing.',
    earth: 'Use it on a mains socket with an earth, and never disconnect the earth, not even to cure a hum.',
    fuse: 'If a fuse blows, fit one new fuse of the same rating and kind. If that one blows too, have the amplifier looked at.',
    smoke:
      'If you see smoke or a valve’s metal glowing red, smell burning, or hear a loud hum that was not there: switch off and pull the plug.',
    heat: 'Valves and the metal near them become hot enough to burn. Leave air around the amplifier.',
    loud: 'It is loud enough to harm hearing. Protect your ears and those of others.',
  },
  checksNone: 'No measurement after the work is written.',
  certifies:
    'This report tells what was measured and done. It is no certificate; what the law asks where you live, and who may do such work, is decided by local codes and licensed practice.',
};
