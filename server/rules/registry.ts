/** Owns the list of rules, alphabetical by id. A rule that is not here does not run, and a test holds the list against the folder. */
import { acceptanceUnused } from './acceptance-unused.ts';
import { acceptanceWithoutReason } from './acceptance-without-reason.ts';
import { anodeOverDissipation } from './anode-over-dissipation.ts';
import { anodeOverVoltage } from './anode-over-voltage.ts';
import { bleedSlow } from './bleed-slow.ts';
import { bottomed } from './bottomed.ts';
import { bypassOverVoltage } from './bypass-over-voltage.ts';
import { capacitanceLow } from './capacitance-low.ts';
import { cathodeHigh } from './cathode-high.ts';
import { cathodeLow } from './cathode-low.ts';
import { cathodeOverCurrent } from './cathode-over-current.ts';
import { checkOutMissing } from './check-out-missing.ts';
import { coilOpen } from './coil-open.ts';
import { coldStartOverVoltage } from './cold-start-over-voltage.ts';
import { conditionsMissing } from './conditions-missing.ts';
import { conflictMarked } from './conflict-marked.ts';
import { contradictoryReadings } from './contradictory-readings.ts';
import { couplingOverVoltage } from './coupling-over-voltage.ts';
import { dateImpossible } from './date-impossible.ts';
import { diodeOverVoltage } from './diode-over-voltage.ts';
import { dischargeUnrecorded } from './discharge-unrecorded.ts';
import { earthHigh } from './earth-high.ts';
import { earthUnchecked } from './earth-unchecked.ts';
import { electrolyticAged } from './electrolytic-aged.ts';
import { electrolyticReversed } from './electrolytic-reversed.ts';
import { esrHigh } from './esr-high.ts';
import { excessRipple } from './excess-ripple.ts';
import { feedbackSense } from './feedback-sense.ts';
import { fixedBiasCold } from './fixed-bias-cold.ts';
import { fixedBiasHot } from './fixed-bias-hot.ts';
import { frontMatterUnreadable } from './front-matter-unreadable.ts';
import { fuseMismatch } from './fuse-mismatch.ts';
import { gassyValve } from './gassy-valve.ts';
import { gridFloating } from './grid-floating.ts';
import { gridLeakOverLimit } from './grid-leak-over-limit.ts';
import { halfWaveRipple } from './half-wave-ripple.ts';
import { halvesUnequal } from './halves-unequal.ts';
import { heaterCathodeOverVoltage } from './heater-cathode-over-voltage.ts';
import { heaterOverload } from './heater-overload.ts';
import { heaterUnreferenced } from './heater-unreferenced.ts';
import { heaterVoltageOff } from './heater-voltage-off.ts';
import { houseSettingUnread } from './house-setting-unread.ts';
import { impossibleReading } from './impossible-reading.ts';
import { insulationLow } from './insulation-low.ts';
import { leakyCoupling } from './leaky-coupling.ts';
import { limitedChart } from './limited-chart.ts';
import { lineCapacitorClass } from './line-capacitor-class.ts';
import { lineInProse } from './line-in-prose.ts';
import { mainsTap } from './mains-tap.ts';
import { meterLoading } from './meter-loading.ts';
import { mismatchedPair } from './mismatched-pair.ts';
import { modTargetDiffers } from './mod-target-differs.ts';
import { noBias } from './no-bias.ts';
import { noConduction } from './no-conduction.ts';
import { offNominal } from './off-nominal.ts';
import { openLoad } from './open-load.ts';
import { otherValveThanDrawn } from './other-valve-than-drawn.ts';
import { overRated } from './over-rated.ts';
import { overVoltage } from './over-voltage.ts';
import { pointUnknown } from './point-unknown.ts';
import { powerLow } from './power-low.ts';
import { questionUnanswered } from './question-unanswered.ts';
import { ratingLowered } from './rating-lowered.ts';
import { ratingMissing } from './rating-missing.ts';
import { rectifierOverCurrent } from './rectifier-over-current.ts';
import { rectifierSourceTooStiff } from './rectifier-source-too-stiff.ts';
import { refDeclaredTwice } from './ref-declared-twice.ts';
import { refUnknown } from './ref-unknown.ts';
import { reservoirOverLimit } from './reservoir-over-limit.ts';
import { residualVoltage } from './residual-voltage.ts';
import { resistorOpen } from './resistor-open.ts';
import { resistorOverDissipation } from './resistor-over-dissipation.ts';
import { resistorOverVoltage } from './resistor-over-voltage.ts';
import type { Rule } from './rule.ts';
import { runsHotOnBoard } from './runs-hot-on-board.ts';
import { screenOpen } from './screen-open.ts';
import { screenOverDissipation } from './screen-over-dissipation.ts';
import { screenOverVoltage } from './screen-over-voltage.ts';
import { sectionUnsaid } from './section-unsaid.ts';
import { seriesCapacitorsUnbalanced } from './series-capacitors-unbalanced.ts';
import { sheetMissing } from './sheet-missing.ts';
import { sheetTooLarge } from './sheet-too-large.ts';
import { speakerMismatch } from './speaker-mismatch.ts';
import { speakerUnderRated } from './speaker-under-rated.ts';
import { staysWithSocket } from './stays-with-socket.ts';
import { substituteDiffers } from './substitute-differs.ts';
import { tagUnreadable } from './tag-unreadable.ts';
import { tankMismatch } from './tank-mismatch.ts';
import { taskOpen } from './task-open.ts';
import { textGarbled } from './text-garbled.ts';
import { trimmerReachesUnsafe } from './trimmer-reaches-unsafe.ts';
import { twoCoreMains } from './two-core-mains.ts';
import { twoValues } from './two-values.ts';
import { unitMissing } from './unit-missing.ts';
import { unitSlip } from './unit-slip.ts';
import { valueAmbiguous } from './value-ambiguous.ts';
import { valueOutOfTolerance } from './value-out-of-tolerance.ts';
import { valueUncommon } from './value-uncommon.ts';
import { valveUnknown } from './valve-unknown.ts';
import { windingOverload } from './winding-overload.ts';
import { wishBroken } from './wish-broken.ts';
import { wrongPoint } from './wrong-point.ts';

export const rules: readonly Rule[] = [
  acceptanceUnused,
  acceptanceWithoutReason,
  anodeOverDissipation,
  anodeOverVoltage,
  bleedSlow,
  bottomed,
  bypassOverVoltage,
  capacitanceLow,
  cathodeHigh,
  cathodeLow,
  cathodeOverCurrent,
  checkOutMissing,
  coilOpen,
  coldStartOverVoltage,
  conditionsMissing,
  conflictMarked,
  contradictoryReadings,
  couplingOverVoltage,
  dateImpossible,
  diodeOverVoltage,
  dischargeUnrecorded,
  earthHigh,
  earthUnchecked,
  electrolyticAged,
  electrolyticReversed,
  esrHigh,
  excessRipple,
  feedbackSense,
  fixedBiasCold,
  fixedBiasHot,
  frontMatterUnreadable,
  fuseMismatch,
  gassyValve,
  gridFloating,
  gridLeakOverLimit,
  halfWaveRipple,
  halvesUnequal,
  heaterCathodeOverVoltage,
  heaterOverload,
  heaterUnreferenced,
  heaterVoltageOff,
  houseSettingUnread,
  impossibleReading,
  insulationLow,
  leakyCoupling,
  limitedChart,
  lineCapacitorClass,
  lineInProse,
  mainsTap,
  meterLoading,
  mismatchedPair,
  modTargetDiffers,
  noBias,
  noConduction,
  offNominal,
  openLoad,
  otherValveThanDrawn,
  overRated,
  overVoltage,
  pointUnknown,
  powerLow,
  questionUnanswered,
  ratingLowered,
  ratingMissing,
  rectifierOverCurrent,
  rectifierSourceTooStiff,
  refDeclaredTwice,
  refUnknown,
  reservoirOverLimit,
  residualVoltage,
  resistorOpen,
  resistorOverDissipation,
  resistorOverVoltage,
  runsHotOnBoard,
  screenOpen,
  screenOverDissipation,
  screenOverVoltage,
  sectionUnsaid,
  seriesCapacitorsUnbalanced,
  sheetMissing,
  sheetTooLarge,
  speakerMismatch,
  speakerUnderRated,
  staysWithSocket,
  substituteDiffers,
  tagUnreadable,
  tankMismatch,
  taskOpen,
  textGarbled,
  trimmerReachesUnsafe,
  twoCoreMains,
  twoValues,
  unitMissing,
  unitSlip,
  valueAmbiguous,
  valueOutOfTolerance,
  valueUncommon,
  valveUnknown,
  windingOverload,
  wishBroken,
  wrongPoint,
];

export function findRule(id: string): Rule | undefined {
  return rules.find((rule) => rule.id === id);
}
