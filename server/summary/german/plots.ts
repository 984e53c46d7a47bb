/** Owns the words of pictures in German. */
import type { PlotText } from '../plot/plot-words.ts';

export const germanPlots: PlotText = {
  none: '–',
  between: (low, high) => `${low} bis ${high}`,

  before: 'vorher',
  after: 'nachher',
  notFitted: 'nicht bestückt',
  frequency: 'Frequenz',
  change: 'Änderung',
  responseTitle: (ref, role) =>
    `Frequenzgang vor und nach der Änderung von ${ref}${role === '' ? '' : ` (${role})`}`,
  returnTitle: (ref, role) =>
    `Rückgeführter Anteil vor und nach der Änderung von ${ref}${role === '' ? '' : ` (${role})`}`,
  modResponseTitle: (mod, refs) => `Frequenzgang vor und nach dem ganzen Umbau ${mod} (${refs})`,
  modReturnTitle: (mod, refs) => `Rückgeführter Anteil vor und nach dem ganzen Umbau ${mod} (${refs})`,
  levelAxis: (from, at) => `Pegel von ${from} bis ${at}, dB`,
  frequencyAxis: 'Frequenz, Hz',
  responseAlt: (from, at, lowest, highest) =>
    `Pegel von ${from} bis ${at} über der Frequenz, ${lowest} bis ${highest}, als zwei Linien.`,
  levelsAlt: (line, levels) => `${line}: ${levels.join(', ')}.`,
  levelAt: (frequency, level) => `${frequency}: ${level}`,
  halfPower: '3 dB unter dem höchsten Wert',
  heldNote: (held) => `Berechnet, nicht gemessen. Festgehalten: ${held.join('; ')}.`,
  halfPowerNote: 'Punkte: 3 dB unter dem höchsten Wert der Linie.',

  loadLineTitle: (ref, type) => `Arbeitsgerade von ${ref}, ${type}`,
  voltsAxis: 'Anode gegen Kathode, V',
  currentAxis: 'Anodenstrom, mA',
  restLine: 'Gleichstromgerade',
  loadOf: (load) => `Last ${load}`,
  loadTogether: (load) => `beide Seiten leiten: ${load}`,
  loadAlone: (load) => `eine Seite allein: ${load}`,
  limitLine: (watts, system) => `Grenzwert ${watts}, ${system}`,
  supplyAt: (node, volts) => `${node} ${volts}`,
  gridVolts: (volts) => `Gitter bei ${volts}`,
  curvesAlt: (type, grids, screen) =>
    `Anodenstrom über Anodenspannung einer durchschnittlichen neuen ${type}${screen === undefined ? '' : `, Schirmgitter bei ${screen}`}, Gitter bei ${grids}.`,
  restAlt: (phase, at) => `In Ruhe, ${phase}: ${at.join(', ')}.`,
  restValues: {
    anode: 'Anode gegen Kathode',
    current: 'Anodenstrom',
    bias: 'Gitter gegen Kathode',
    screen: 'Schirmgitter gegen Kathode',
    dissipation: 'Anodenverlustleistung',
    ofLimit: (share) => `${share} des Grenzwerts`,
  },
  loadNote: (transformer, primary, kind, basis) =>
    `Last: ${transformer}, ${primary} ${kind === 'push-pull' ? 'von Anode zu Anode' : 'an der Primärwicklung'}${basis === 'reflected' ? ' mit dem Lautsprecher an seiner Anzapfung' : ' wie beschriftet'}, als reiner Widerstand genommen.`,
  loadShares: (together, alone) =>
    `Diese Röhre arbeitet auf ${together}, solange beide Seiten leiten, und auf ${alone}, solange die andere gesperrt ist.`,
  sharedLoadNote: (valves) => `${valves} Röhren teilen sich eine Seite und damit die Last.`,
  curvesNote: ({ type, name, error, screen, phase, isTriodeConnected }) =>
    `Kennlinien: eine durchschnittliche neue ${type} nach dem Modell „${name}“, Anodenstrom auf etwa ±${error}${screen === undefined ? '' : `, Schirmgitter auf ${screen} gehalten, wie es stand (${phase})`}${isTriodeConnected ? ', Schirmgitter und Anode verbunden' : ''}. Eine Röhre, die daneben liegt, ist deshalb nicht schadhaft.`,
  limitNote: (watts, system, source) => `Grenzwert der Anode: ${watts}, ${system}; ${source}.`,
  restLineNote: (node, volts) =>
    `Die Gleichstromgerade geht von ${node} bei ${volts} ohne Strom zum Arbeitspunkt.`,
  signalNote: 'Die Lastgerade gilt für kleine Signale: Versorgung und Schirmgitter stehen still.',

  supplyTitle: (rectifiers, first) =>
    rectifiers === undefined ? `Stromversorgung ab ${first}` : `Stromversorgung ab ${rectifiers}`,
  voltsToGround: 'Volt gegen Masse',
  nominal: 'Soll',
  node: 'Knoten',
  through: 'Über',
  ripple: (phase) => (phase === undefined ? 'Brumm' : `Brumm ${phase}`),
  from: (node) => `von ${node}`,
  supplyAlt: (nodes, first) =>
    `Gleichspannung von ${nodes} Knoten der Versorgung der Reihe nach ab ${first}, als Stufen.`,
  nodeAlt: (node, from, said) => `${node}${from === undefined ? '' : `, über ${from}`}: ${said.join(', ')}.`,
  rippleAlt: (ripple) => `Brummspannung ${ripple} von Spitze zu Spitze`,
  rippleNote: 'Senkrechte Balken: Brummspannung von Spitze zu Spitze, im selben Maßstab.',
  unread: (nodes) => `Nicht gemessen: ${nodes}.`,
};
