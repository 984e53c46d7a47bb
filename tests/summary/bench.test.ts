/** Holds what the next technician reads: findings sorted, changes with their remarks, readings side by side, everything with its line. */
import { describe, expect, it } from 'vitest';
import { renderHtml } from '../../server/summary/html.ts';
import { analyse } from '../support/check.ts';
import { sectionOf, tagsOf, textOf } from './page.ts';
import { analyseSample } from './samples.ts';

const HUM = 'jobs/2041-larch-20-hum.tagstrip.md';
const HOT = 'jobs/2047-larch-20-hot-valve.tagstrip.md';
const TONE = 'jobs/2052-larch-20-tone.tagstrip.md';

async function sample(path: string): Promise<string> {
  return renderHtml(await analyseSample(path), { reader: 'bench' });
}

async function pageOf(sheet: string): Promise<string> {
  return renderHtml(await analyse(sheet), { reader: 'bench' });
}

describe('the summary for the bench', () => {
  it('sorts findings into standing, accepted with the reason, and cleared with what cleared them', async () => {
    const hum = sectionOf(await sample(HUM), 'Findings');
    expect(hum).toMatch(/Accepted \/ .*V3 As left, the anode of V3 dissipates 20\.9 W/);
    expect(hum).toContain('Accepted: 91 % at 234 V mains is how the drawing has it, and inside the rating');
    const hot = sectionOf(await sample(HOT), 'Findings');
    expect(hot).toMatch(/^No finding stands, 1 cleared/);
    expect(hot).toMatch(/C10 As found, the grid of V4 .* As left: .*line 43\)\. line 27, leaky-coupling/);
    expect(hot).toContain('With it:');
  });

  it('names what a finding is about once', async () => {
    const page = await pageOf('# X\n\n## Work\n\n- R19 = 360R 5W -> 360R 7W\n- {C10 = 22n\n');
    expect(sectionOf(page, 'Findings')).toContain('Note R19 was changed and no residual voltage');
    expect(sectionOf(page, 'Findings')).toContain('Warning {C10 = 22n opens a tag');
  });

  it('tells severities by word and mark, not by colour', async () => {
    const page = await pageOf('# X\n\n- V5 6V6GT: a 420, g2 300, k 20\n- R1 = 250R 5W, V5.k to gnd\n');
    expect(sectionOf(page, 'Findings')).toMatch(/Standing \/ (?:■ Error|▲ Warning) V5/);
  });

  it('shows what each part was and is with the remark written beside it', async () => {
    const hum = sectionOf(await sample(HUM), 'Parts changed');
    expect(hum).toContain(
      'C11 reservoir / 47 µF 500 V electrolytic / 47 µF 550 V electrolytic / 105 °C, standing a little off the board / line 56 /',
    );
    const tone = sectionOf(await sample(TONE), 'Parts changed');
    expect(tone).toContain('680 nF 63 V film / a shelf at the low notes in the first stage / line 36');
  });

  it('names a can that was changed as a whole with all its sections', async () => {
    const page = await pageOf(
      '# X\n\n- C1 = 32+32uF/350V, B+ B+2\n\n## Work\n\n- C1 -> 47uF 450V, B+ to gnd\n',
    );
    expect(sectionOf(page, 'Parts changed')).toContain('/ 32 µF + 32 µF 350 V / 47 µF 450 V /');
  });

  it('takes no part for changed that was named beside what was read of it', async () => {
    const page = await pageOf('# X\n\n- R1 = 47R 5W, B+1 to B+2\n\n## Work\n\n- R1 47R: open\n');
    expect(sectionOf(page, 'Parts changed')).not.toContain('R1');
    const other = await pageOf('# X\n\n- R1 = 47R 5W, B+1 to B+2\n\n## Work\n\n- R1 68R: 67R\n');
    expect(sectionOf(other, 'Parts changed')).toContain('R1');
  });

  it('keeps every line of which nothing was read, however short', async () => {
    const page = await pageOf(
      '# X\n\n## As found\nB+3 310\n- B+1: 352 V\n- ripple 9 Vac @ B+\n- mains 236, 12 min\n\n![R1 charred](r1.jpg)\n',
    );
    const notes = sectionOf(page, 'Notes of the sheet');
    expect(notes).toContain('B+3 310');
    expect(notes).toContain('ripple 9 Vac @ B+');
    expect(notes).not.toContain('mains 236');
  });

  it('takes the sentence around a change for its reason', async () => {
    const changes = sectionOf(
      await pageOf('# X\n\n## Work\n\nThe fitted {C14 = 22n 400V -> 22n 630V} was far too weak.\n'),
      'Parts changed',
    );
    expect(changes).toContain('The fitted C14 = 22n 400V -> 22n 630V was far too weak.');
  });

  it('shows parts that were found otherwise than drawn', async () => {
    expect(sectionOf(await sample(TONE), 'Found fitted otherwise than drawn')).toContain(
      'C15 cathode bypass / 100 µF 63 V electrolytic / 100 µF 25 V electrolytic / line 26',
    );
  });

  it('takes a part of which less is written than drawn for the drawn one', async () => {
    const job =
      '---\nchassis: ../chassis/x.tagstrip.md\n---\n# X\n\n## As found\n\n- C11 = 32uF 500V\n- C12 = 32uF 450V\n';
    const analysis = await analyse(job, {
      '../chassis/x.tagstrip.md': '---\nsheet: chassis\n---\n# X\n\n- C11, C12 = 32uF 500V electrolytic\n',
    });
    const page = renderHtml(analysis, { reader: 'bench' });
    expect(sectionOf(page, 'Found fitted otherwise than drawn')).toMatch(/\/ C12 \/ .*32 µF 450 V/);
    expect(sectionOf(page, 'Found fitted otherwise than drawn')).not.toContain('C11');
  });

  it('lists a chassis sheet’s parts under its headings, with value, rating and what they are put to', async () => {
    const parts = sectionOf(await sample('chassis/larch-20.a.tagstrip.md'), 'Parts fitted');
    expect(parts).toMatch(/Supply \/ F1 \/ T 1 A \/ – \/ line \d+ \//);
    expect(parts).toContain('C13 / smoothing / 22 µF 500 V electrolytic / 293 V, 58.6 % of 500 V /');
    expect(parts).toMatch(/V3 \/ 5881 \/ 19\.2 W, 83\.\d % of 23 W \//);
    expect(parts.indexOf('Supply /')).toBeLessThan(parts.indexOf('Phase splitter /'));
    expect(sectionOf(await sample(HUM), 'Parts fitted')).toBe('');
  });

  it('says once what is asked to be kept, and once that the mains moved', async () => {
    const tone = textOf(await sample(TONE));
    expect(tone.split('the cut stays as it is')).toHaveLength(2);
    expect(tone.split('The mains itself moved')).toHaveLength(2);
    expect(sectionOf(await sample(TONE), 'Intake')).toBe('');
  });

  it('tells the windings of a transformer', async () => {
    const parts = sectionOf(await sample('chassis/larch-20.a.tagstrip.md'), 'Parts fitted');
    expect(parts).toContain('T1 / mains transformer / 290-0-290 V 300 mA, 6.3 V 4 A, 5 V 3 A mains / – /');
    expect(parts).toContain('T2 / output transformer / 6.6 kΩ : 4 Ω, 8 Ω, 16 Ω 25 W output / – /');
  });

  it('tells the writer’s sentences under their headings, and conditions and tags not again', async () => {
    const hot = sectionOf(await sample(HOT), 'Notes of the sheet');
    expect(hot).toBe(
      'As found / The glow is in the right-hand socket. / Grid comes back to nothing with the capacitor off, so it is not the valve. C10 leaks, C9 is its twin. / line 33; line 38 /',
    );
    expect(sectionOf(await sample('chassis/larch-20.a.tagstrip.md'), 'Notes of the sheet')).toContain(
      'Nothing empties the cans on this revision.',
    );
    const own =
      '# X\n\n## Owner\n\nAll is well with it now.\n\n## Work\n\n- [ ] order a new pair of valves\n';
    expect(sectionOf(await pageOf(own), 'Notes of the sheet')).toBe('');
  });

  it('puts readings as found and as left side by side with the difference, in the readings’ own decimals', async () => {
    const readings = sectionOf(await sample(HUM), 'Readings');
    expect(readings).toContain('As found: mains 236 V, dummy load, twenty minutes warm, no signal');
    expect(readings).toContain('As left: mains 234 V, dummy load, twenty minutes warm, no signal');
    expect(readings).toContain(
      'B+1 / DC volts / 325.6 V / 339.6 V / +14.0 V (+4.3 %) +5.2 % at equal mains / 333.6 V as left +0.1 % / line 35; line 63 /',
    );
    expect(readings).toContain('B+1 / ripple peak to peak / 127 V / 20 V / −107 V (−84.3 %) / – /');
    expect(readings).toContain('V3.g / DC volts / 0 V / 0 V / 0 V /');
    expect(readings).toMatch(/mains itself moved by −0\.8 %/);
  });

  it('gives no share of a reading that was next to nothing', async () => {
    const text = '# Job\n\n## As found\n\n- V4.g2: 3 V\n\n## As left\n\n- V4.g2: 334 V\n';
    const readings = sectionOf(await pageOf(text), 'Readings');
    expect(readings).toContain('V4.g2 / DC volts / 3 V / 334 V / +331 V / ');
  });

  it('keeps the readings of a valve together, then the supply', async () => {
    const readings = sectionOf(await sample(HUM), 'Readings');
    expect(readings).toMatch(
      /V3 5881 \/ V3\.a .*V3\.k .* V4 5881 \/ V4\.a .* Supply and other points \/ mains/,
    );
  });

  it('holds readings against what is drawn, at the mains of the reading', async () => {
    const tone = sectionOf(await sample(TONE), 'Readings');
    expect(tone).toContain(
      'V4.k / DC volts / 23.0 V / 23.2 V / +0.2 V (+0.9 %) 0 % at equal mains / 23.0 V as left +0.9 % /',
    );
    const page = await pageOf(
      '# X\n\n## As found\n\nMains {mains: 230 V}.\n\n| Point | Found | Nominal |\n| --- | --- | --- |\n| B+1 | 322 | 334 |\n',
    );
    expect(sectionOf(page, 'Readings')).toContain('B+1 / DC volts / 322 V / 334 V as found −3.6 % /');
  });

  it('never sets readings behind a lamp beside others', async () => {
    const readings = sectionOf(await sample(HUM), 'Readings');
    expect(readings).toMatch(
      /lamp 60 W \/ Point \/ What \/ As found \/ Where \/ V3 5881 \/ V3\.k \/ DC volts \/ 15\.8 V \/ line 29 \/ Supply and other points \/ B\+1 \/ DC volts \/ 241 V \/ line 28/,
    );
  });

  it('compares part measurements whatever the amplifier did meanwhile, and sets work apart', async () => {
    const readings = sectionOf(await sample(HUM), 'Readings');
    expect(readings).toContain('earth to gnd / resistance / 0.1 Ω / 0.1 Ω /');
    expect(readings).toContain('C11 / capacitance / 6.8 µF out of circuit /');
    expect(readings).toMatch(
      /During the work .* Where \/ plug out, discharged through 10k \/ B\+1 \/ DC volts \/ 3 V \//,
    );
  });

  it('pairs signal readings of equal conditions', async () => {
    const readings = sectionOf(await sample(TONE), 'Readings');
    expect(readings).toContain('LS1 / AC volts rms / 3.20 V / 1.82 V / −1.38 V (−43.1 %) / line 63 /');
  });

  it('shows the last of two readings and the earlier one beside it', async () => {
    const page = await pageOf('# X\n\n## As found\n\n- B+1: 340 V\n- B+1: 345 V\n');
    expect(sectionOf(page, 'Readings')).toContain('B+1 / DC volts / 345 V earlier 340 V / ');
  });

  it('draws a valve over its limit so that it shows without colour, and says it in words', async () => {
    const page = await sample(HOT);
    const bars = tagsOf(page).filter(({ name, closes }) => name === 'svg' && !closes);
    const said = bars.map(({ attributes }) => attributes['aria-label']?.replaceAll('\u00a0', ' '));
    expect(said).toContain('25.2 W, 109 % of the limit of 23 W');
    expect(tagsOf(page).filter(({ attributes }) => attributes.class === 'over').length).toBeGreaterThan(0);
    expect(sectionOf(page, 'Valve dissipation')).toContain('23 W 5881, design-centre: 5881 data sheet');
  });

  it('holds anode and screen volts against the data sheet, from the cathode where it was read', async () => {
    const hot = sectionOf(await sample(HOT), 'Valve voltages');
    expect(hot).toMatch(
      /V3 anode \/ 306 V, 76\.5 % line 26 \/ 308 V, 77\.1 % line 53 \/ 400 V 5881, design-centre: /,
    );
    expect(hot).toContain('V2B anode / 181 V, 60.2 % to ground: no cathode volts were read line 31 /');
  });

  it('tells the effect of what was found otherwise than drawn', async () => {
    expect(sectionOf(await sample(TONE), 'Found fitted otherwise than drawn')).toMatch(
      /100 µF 25 V electrolytic \/ line 26 \/ DC: voltage margin 63\.8 → 8\.8 % \//,
    );
  });

  it('shows the sheet’s own verdicts on standing modifications', async () => {
    const page = await pageOf('# X\n\n## Work\n\n- mod screens-5w: not applicable, already 5 W\n');
    expect(sectionOf(page, 'Standing modifications')).toContain(
      'screens-5w / not applicable / already 5 W / line 5 /',
    );
  });

  it('holds capacitors against their marking, running and at switch-on', async () => {
    const page = sectionOf(await sample(HUM), 'Working voltage of capacitors');
    expect(page).toMatch(
      /C11 reservoir \/ 326 V, 65\.1 % of 500 V line 35 \/ 340 V, 61\.7 % of 550 V line 63 \/ \d+ V to \d+ V, [\d.]+ % of 550 V/,
    );
    expect(page).toMatch(/C15 cathode bypass \/ .* \/ – \//);
    expect(page).toContain('before the valves draw current');
    const two = sectionOf(
      await pageOf('# X\n\n- C1 = 47uF 450V, B+1 to gnd\n- B+1: 340 V\n'),
      'Working voltage of capacitors',
    );
    expect(two).not.toContain('switch-on');
    expect(two).toContain('340 V, 75.6 % of 450 V');
  });

  it('lists what is still to do, what to order, what was left, declined and is for next time', async () => {
    const hum = await sample(HUM);
    expect(sectionOf(hum, 'Still to do')).toContain('C12 = 47uF 500V -> 47uF 550V electrolytic line 89');
    expect(sectionOf(hum, 'Parts to order')).toContain(
      'C12 smoothing / 47 µF 500 V electrolytic / 47 µF 550 V',
    );
    expect(sectionOf(hum, 'Seen and left alone')).toContain('measure well');
    expect(sectionOf(hum, 'Next time')).toContain('C12, C13 and C14: same age as the one that failed.');
    expect(sectionOf(await sample(TONE), 'Declined')).toContain('A new set of valves.');
    expect(sectionOf(await sample(TONE), 'Asked to be kept as it is')).toContain("VR2: owner's wish");
  });

  it('lists photographs by their words and a link to the file, not as pictures', async () => {
    const page = await sample(HOT);
    expect(sectionOf(page, 'Photographs')).toContain(
      'R20 and C10 from above: 2047-r20-c10.jpg During the work, line 47',
    );
    expect(page).not.toContain('<img');
    expect(page).toContain('<a href="../photos/2047-r20-c10.jpg">2047-r20-c10.jpg</a>');
  });

  it('calls a volume control one, not the leak that it is besides', async () => {
    const page = await sample('chassis/larch-20.c.tagstrip.md');
    expect(textOf(page)).toContain('VR1 / volume control / 1 MΩ log');
    expect(textOf(page)).not.toMatch(/VR1 \/ grid leak/);
  });

  it('puts cautions that this amplifier gives reason for first, and says the reason', async () => {
    const hum = sectionOf(await sample(HUM), 'Cautions');
    expect(hum).toMatch(/^For this amplifier \/ The high tension .* can kill.* B\+1 was read at 339\.6 V\./);
    expect(hum).toContain('Stands on C11, C12, C13, C14.');
    expect(hum).toContain('Earth to chassis was read at 0.1 Ω.');
    // Nobody has read what only the chassis sheet says.
    const unread = sectionOf(await sample('chassis/larch-20.b.tagstrip.md'), 'Cautions');
    expect(unread).toContain('By the chassis sheet B+1 stands at 333.6 V.');
    expect(unread).not.toContain('was read at');
    const bare = sectionOf(await pageOf('# X\n\n- R1 = 1k\n'), 'Cautions');
    expect(bare).toContain('No earth continuity is written on this sheet.');
    expect(bare).toContain('never by a short');
  });

  it('warns at the head where there is high tension', async () => {
    expect(textOf(await sample(HUM))).toContain('Lethal voltages inside, also with the plug out.');
    expect(textOf(await pageOf('---\nsheet: shop\n---\n'))).not.toContain('Lethal voltages');
  });

  it('says where it has everything from', async () => {
    expect(sectionOf(await sample(HUM), 'What this rests on')).toContain(
      'Drawn from the sheet 2041-larch-20-hum with the chassis sheet larch-20.b under it.',
    );
  });

  it('says that the Owner section is missing', async () => {
    expect(sectionOf(await pageOf('# X\n\n## Work\n\n- C1 -> removed\n'), 'Told to the owner')).toContain(
      'has no Owner section',
    );
  });

  it('shows readings that are no plain number as they were read', async () => {
    const page = await pageOf(
      '# X\n\n## As found\n\n- T2: 138R + 124R\n- VR2: 850k / 150k\n- R5: open\n- B+1: ~340 V\n',
    );
    const readings = sectionOf(page, 'Readings');
    expect(readings).toContain('138 Ω + 124 Ω');
    expect(readings).toContain('850 kΩ / 150 kΩ');
    expect(readings).toContain('R5 / resistance / open /');
    expect(readings).toContain('about 340 V');
  });

  it('shows the readings of a chassis sheet alone: they are what should be, not held against themselves', async () => {
    const readings = sectionOf(await sample('chassis/larch-20.b.tagstrip.md'), 'Readings');
    expect(readings).toContain('B+1 / DC volts / 333.6 V');
    expect(readings).not.toContain('Nominal');
  });

  it('names the line of what a chassis sheet takes over from the revision that it follows', async () => {
    expect(sectionOf(await sample('chassis/larch-20.c.tagstrip.md'), 'Readings')).toMatch(
      /T2 \/ halves, in order \/ 62 Ω \+ 68 Ω \/ larch-20\.b, line \d+ \//,
    );
  });

  it('names other sheets at the head without folder and ending', async () => {
    const page = await sample(HUM);
    expect(textOf(page)).toContain('Chassis sheet / larch-20.b /');
  });
});
