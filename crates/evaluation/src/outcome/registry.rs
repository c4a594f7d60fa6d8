//! Every code that a result, a search or a record can say, one row each: nothing is said under a code that has no row here.

use super::code::codes;

codes! {
    // The box, the pump, and what was looked at before the air was drawn.

    /// No date of the reading is recorded.
    DateMissing "date-missing" Flag, reads TooLow says "no date recorded", search OfTheRecord;
        "Record when it was read; without it expiry and checks cannot be judged."

    /// No lot is recorded, so that nobody can see whether the leaflet belongs to the box.
    LotMissing "lot-missing" Flag, reads TooLow says "no lot recorded", search OfTheRecord;
        "Copy the lot from the box."

    /// The lot is not spelt as those that the sheet names, so that nobody can see whether the leaflet belongs to the box.
    LotNotComparable "lot-not-comparable" Flag, reads TooLow says "lot cannot be placed", search OfTheRecord;
        "Copy the lot from the box again; if it is right, enter the leaflet from that box with its lots."

    /// No expiry of the tube is recorded.
    ExpiryMissing "expiry-missing" Flag, reads TooLow says "no expiry recorded", search OfTheRecord;
        "Copy the expiry from the box."

    /// No expiry is recorded, and the box of that lot in stock stands in for it.
    ExpiryInStock "expiry-as-in-stock" Flag, reads AsGiven says "expiry as the box in stock says", search OfTheRecord;
        "Look at the box that is named if it matters, and copy its expiry into the survey."

    /// The tube had expired on the day of the reading.
    LotExpired "lot-expired" Flag, reads TooLow says "tube expired", search OfTheRecord;
        "Measure again with a box within its date."

    /// The sheet asks for a separate pre-tube, and none is recorded.
    PreTubeMissing "pre-tube-missing" Flag, reads TooLow says "no pre-tube recorded", search OfTheRecord;
        "Record the pre-tube if it was used; measure again with it if it was not."

    /// The pre-tube has an expiry of its own, which is not recorded.
    PreTubeExpiryMissing "pre-tube-expiry-missing" Flag, reads TooLow says "no expiry of the pre-tube recorded", search OfTheRecord;
        "Copy the expiry from the pre-tube's box."

    /// The pre-tube had expired on the day of the reading.
    PreTubeExpired "pre-tube-expired" Flag, reads TooLow says "pre-tube expired", search OfTheRecord;
        "Measure again with a pre-tube within its date."

    /// The box is stored cold, and it is not recorded that the tube had come to the temperature of the place.
    ColdTube "cold-tube" Flag, reads TooLow says "tube not brought to the temperature of the place", search OfTheRecord;
        "Let the box come to the temperature of the place before use, and record it."

    /// No leak test is recorded for this series.
    LeakTestMissing "leak-test-missing" Flag, reads TooLow says "no leak test recorded", search OfTheRecord;
        "Test the pump with an unbroken tube before each series, and record it: a leaking pump draws too little and reads low."

    /// The pump did not hold in the leak test.
    LeakTestFailed "leak-test-failed" Flag, reads TooLow says "pump leaked", search OfTheRecord;
        "Have the pump serviced, and measure again with one that holds."

    /// No pump is recorded.
    PumpMissing "pump-missing" Flag, reads TooLow says "no pump recorded", search OfTheRecord;
        "Record the pump: whether the tube was used with its own pump cannot be seen without it."

    /// The catalog has no usable entry of the pump by this name.
    PumpUnknown "pump-unknown" Flag | Refusal, reads TooLow says "pump not known", search OfTheRecord;
        "Look at the name again, or enter the pump in the catalog."

    /// The pump is of a kind that the sheet does not name.
    PumpNotAllowed "pump-not-allowed" Flag | Refusal, reads EitherWay says "pump of another kind",
        search Excludes("a pump of a kind that the sheet names");
        "Use a pump of a kind that the sheet names; pumps and tubes are not mixed unless they were tested together."

    /// The pump was withdrawn from use by then.
    PumpWithdrawn "pump-withdrawn" Flag | Statement, reads EitherWay says "pump withdrawn", search OfTheRecord;
        "Measure again with a pump that is in use."

    /// No volume check of the pump before this reading is on record; the tolerance of its volume is taken as twice as wide.
    PumpVolumeCheckMissing "pump-volume-check-missing" Flag, reads AsGiven says "no volume check on record", search OfTheRecord;
        "Check the stroke volume, and enter the check in the pump's entry."

    /// The last volume check of the pump was longer ago than its kind asks for; the tolerance of its volume is taken as twice as wide.
    PumpVolumeCheckOverdue "pump-volume-check-overdue" Flag, reads AsGiven says "volume check overdue", search OfTheRecord;
        "Check the stroke volume, and enter the check in the pump's entry."

    /// The last volume check found the stroke smaller than the kind of pump allows: too little air went through the tube.
    PumpVolumeTooSmall "pump-volume-too-small" Flag, reads TooLow says "stroke too small", search OfTheRecord;
        "Have the pump adjusted and checked, and measure again; the result is not corrected, its uncertainty is widened."

    /// The last volume check found the stroke larger than the kind of pump allows: too much air went through the tube.
    PumpVolumeTooLarge "pump-volume-too-large" Flag, reads TooHigh says "stroke too large", search OfTheRecord;
        "Have the pump adjusted and checked, and measure again; the result is not corrected, its uncertainty is widened."

    /// Half a stroke is recorded or needed, and the pump draws whole strokes only.
    HalfStrokeImpossible "half-stroke-impossible" Refusal;
        "Look at the number of strokes and at the pump again, or use a pump that draws half strokes and that the sheet allows."

    /// A stroke of the pump has another volume than the strokes the sheet is printed for.
    StrokeVolumeDiffers "stroke-volume-differs" Refusal;
        "Repeat with a pump that the sheet allows."

    /// Something of the leaflet's instructions for drawing and reading was not kept.
    InstructionsNotKept "instructions-not-kept" Flag, reads TooLow says "instructions not kept", search OfTheRecord;
        "Measure again as the leaflet says: every stroke to its end, with its pauses, and read in its time."

    /// Something of the leaflet's instructions for drawing and reading was not kept, and the leaflet says that the tube then reads too high.
    InstructionsNotKeptHigh "instructions-not-kept-reads-high" Flag, reads TooHigh says "instructions not kept", search OfTheRecord;
        "Measure again as the leaflet says: every stroke to its end, with its pauses, and read in its time."

    /// Something of the leaflet's instructions for drawing and reading was not kept, which the leaflet says has no effect.
    InstructionsNotKeptNoEffect "instructions-not-kept-no-effect" Flag, reads AsGiven, search OfTheRecord;
        "Nothing; the reading says what was not kept, and the leaflet that it does not matter."

    /// Something that the leaflet asks for before or after the strokes is not on record: strokes to flush, tubes joined, an ampoule broken.
    PreparationMissing "preparation-missing" Flag, reads TooLow says "preparation not recorded", search OfTheRecord;
        "Write under `done` what was done; measure again if it was not."

    /// More strokes were drawn through the pre-tube than it lasts for.
    PreTubeSpent "pre-tube-spent" Flag, reads EitherWay says "pre-tube spent", search Heavy;
        "Measure again with a new pre-tube."

    /// The pre-tube lasts for a number of strokes, and how many it had seen before is not on record.
    PreTubeUseMissing "pre-tube-use-missing" Flag, reads EitherWay says "earlier use of the pre-tube not recorded", search OfTheRecord;
        "Write `strokes_before` under `pre_tube`, 0 for a new one."

    /// An opened box keeps for a time only, and when it was opened is not on record.
    OpenedMissing "opened-missing" Flag, reads TooLow says "day of opening not recorded", search OfTheRecord;
        "Write `opened` with the day on which the box was opened."

    /// The box had been open for longer than the leaflet allows.
    OpenedTooLong "opened-too-long" Flag, reads TooLow says "opened too long ago", search OfTheRecord;
        "Measure again with a tube of a fresh box."

    /// The tube had been drawn through before, which the leaflet does not allow.
    UsedBefore "used-before" Flag, reads EitherWay says "tube used before", search OfTheRecord;
        "Measure again with a new tube."

    /// The leaflet goes by the date of manufacture, and none is on record.
    ManufactureDateMissing "manufacture-date-missing" Flag, reads TooLow says "date of manufacture not recorded", search OfTheRecord;
        "Write `manufactured` as it is printed on the box."

    /// The box was not made in the time that the leaflet belongs to.
    ManufacturedOutside "manufactured-outside" Flag, reads EitherWay says "leaflet of another time", search OfTheRecord;
        "Enter the leaflet that lay in the box as a sheet of its own."

    /// The maker has corrected the leaflet for this lot, which the sheet does not work out.
    ErratumForLot "erratum-for-lot" Flag, reads EitherWay says "erratum for this lot", search OfTheRecord;
        "Read the erratum; enter a sheet of its own for these lots."

    /// The tube works in air only, and was used in another gas.
    OutsideUsableAir "outside-usable-air" Flag, reads EitherWay says "not in ordinary air",
        search Excludes("a tube that works without the oxygen of air");
        "Use a tube that works in this gas."

    /// What is not on record here is kept elsewhere, and somebody says so in writing.
    Assured "assured" Flag, reads AsGiven says "kept elsewhere, and where", search OfTheRecord;
        "Look there if it matters: a verdict that rests on it says where."

    // A record that was changed afterwards.

    /// The reading was changed after it was recorded; what it was stands beside it.
    Amended "amended" Flag, reads AsGiven, search OfTheRecord;
        "Nothing, if the reason given convinces: the result is worked out from what stands now."

    /// The reading was changed, and it is not recorded who did it, when or why.
    AmendmentUnsigned "amendment-unsigned" Flag, reads AsGiven says "changed, and not signed for", search OfTheRecord;
        "Complete the amendment: who, when and why."

    /// A change of the reading is dated before the reading itself.
    AmendedBeforeRead "amended-before-read" Flag, reads AsGiven, search OfTheRecord;
        "Look at both dates again."

    // The sheet.

    /// Another reading of the survey has the same `id`.
    IdRepeated "id-repeated" Flag | Refusal, reads AsGiven, search OfTheRecord;
        "Give each reading an `id` of its own."

    /// The reading does not say which tube was used.
    TubeMissing "tube-missing" Refusal;
        "Write the sheet's short name under `tube`."

    /// The catalog has no sheet of this name.
    TubeUnknown "tube-unknown" Refusal;
        "Look at the name again, or enter the leaflet as a sheet."

    /// There is a sheet of the tube, but none for this revision of the leaflet.
    LeafletUnknown "leaflet-unknown" Refusal;
        "Enter the leaflet that lay in the box as a sheet of its own."

    /// The lot belongs to another revision of the leaflet than the reading says.
    LotAndLeafletDisagree "lot-and-leaflet-disagree" Refusal;
        "Look at the box and its leaflet again, and correct the one that is wrong."

    /// The lot belongs to none of the sheets of the tube.
    LotWithoutSheet "lot-without-sheet" Refusal;
        "Look at the lot again; if it is right, enter the leaflet from its box as a sheet."

    /// More than one sheet could be meant.
    SheetAmbiguous "sheet-ambiguous" Refusal;
        "State the lot, or the revision of the leaflet in the box."

    /// The sheet says too little to be computed with.
    SheetUnusable "sheet-unusable" Refusal;
        "Have the sheet checked against the leaflet and completed."

    /// The checker finds errors in the sheet.
    SheetHasErrors "sheet-has-errors" Flag | Refusal, reads EitherWay says "sheet has errors", search Heavy;
        "Have the sheet checked against the leaflet and corrected; `stainbook check` names the places."

    /// One person only has read the leaflet.
    SheetNotVerified "sheet-not-verified" Flag, reads AsGiven says "sheet not verified", search Light;
        "Have a second person compare the sheet with the leaflet, and enter it under `verified`."

    /// The sheet must not be used any more.
    SheetWithdrawn "sheet-withdrawn" Flag, reads EitherWay says "sheet withdrawn",
        search Excludes("the sheet that replaces it, with a box of its lots");
        "Use the sheet that replaces it, with a box of its lots."

    /// The leaflet says that the tube shows this gas and does not measure it.
    GasOnlyShown "gas-only-shown" Refusal;
        "Take a stain as a sign that the gas is there; for a concentration use a tube that measures it."

    /// The sheet has no factor for the gas that the reading names.
    GasNotOnSheet "gas-not-on-sheet" Refusal;
        "Use a tube whose sheet names the gas."

    /// The tube answers to a group of gases together, and the result is their total stated as one of them.
    GroupExpressedAs "group-expressed-as" Flag, reads AsGiven, search Heavy;
        "Take it as the total of the group; for one gas alone use a tube that answers to it alone."

    // The strokes, the scale, and what was seen on it.

    /// The number of strokes is not stated.
    StrokesMissing "strokes-missing" Refusal;
        "Write how many strokes were drawn; without it a stain says nothing."

    /// The leaflet does not print this number of strokes.
    StrokesNotOnSheet "strokes-not-on-sheet" Refusal;
        "Repeat with a stroke count that the sheet has; nothing is worked out for another one."

    /// The leaflet does not allow this number of strokes at this temperature.
    StrokesBarred "strokes-barred" Refusal;
        "Repeat with another stroke count, or with tube and pump at a temperature at which this one is allowed."

    /// More strokes were drawn than the leaflet prints, as it allows without a stain: the bound is that of the last printed count.
    MoreStrokesNoStain "more-strokes-no-stain" Statement;
        "Nothing; for a lower bound use a tube that measures less."

    /// The sheet has no scale of this name.
    ScaleUnknown "scale-unknown" Refusal;
        "Write the scale's name as on the sheet, or leave it out where there is one only."

    /// The tube has two scales for this number of strokes, and the reading does not say which was read.
    ScaleNotStated "scale-not-stated" Refusal;
        "Write `scale:` with the name of the scale."

    /// A number or a mark was recorded of a tube that has no scale.
    TubeWithoutScale "tube-without-scale" Refusal;
        "Write `{seen: colour}` or `{seen: no stain}`, with the strokes that were drawn."

    /// A colour alone was recorded of a tube that has a scale.
    ColourOnAScale "colour-on-a-scale" Refusal;
        "Write where on the scale the stain ends, or `{seen: below first mark}` or `{seen: beyond last mark}`."

    /// A tube without a scale has no row for these strokes in this air.
    NoThresholdForAir "no-threshold-for-this-air" Refusal;
        "Repeat with strokes, and in air, for which the leaflet says what a colour means."

    /// What was seen says nothing on this sheet.
    SaysNothing "says-nothing" Refusal;
        "Draw more strokes, or use another tube: the leaflet draws no conclusion from this."

    /// The tube has no scale: it tells that at least so much is there, or less, and no level is measured with it.
    TellsThresholdsOnly "tells-thresholds-only" Refusal;
        "Look at its sheet for the concentrations it tells apart; to measure a level use a tube with a scale."

    /// No reading is recorded.
    ReadingMissing "reading-missing" Refusal;
        "Write `{at: 5 ppm}`, `{short: 4 ppm, long: 5 ppm}`, or `{seen: no stain}`."

    /// The reading is in another kind of unit than the scale.
    ReadingInAnotherUnit "reading-in-another-unit" Refusal;
        "Write the number that stands on the glass, in the unit of the scale; the result is given in both."

    /// The short side of the front is longer than its long side.
    FrontReversed "front-reversed" Refusal;
        "Look at which is which."

    /// One side only of an uneven front is recorded.
    FrontHalfRead "front-half-read" Refusal;
        "Write both, `short` and `long`; or `at`, if the front was even."

    /// The reading is recorded in two ways at once.
    ReadingContradictsItself "reading-contradicts-itself" Refusal;
        "Keep one of `at`, `short` with `long`, and `seen`."

    /// The reading lies before the first mark or beyond the last one.
    ReadingOffScale "reading-off-scale" Refusal;
        "Record `below first mark` or `beyond last mark` under `seen`, which gives a bound, and repeat with another stroke count."

    /// A bound was written with `<` or `>`, and it is not what the mark at that end of the scale stands for.
    BoundNotAMark "bound-not-a-mark" Refusal;
        "Record what was seen: `no stain`, `below first mark` or `beyond last mark` under `seen`; a bound that was worked out is no reading."

    /// A bound was written with `<` or `>`, and taken as a stain that ended beside the mark which it names.
    SignTakenAsMark "sign-taken-as-mark" Statement;
        "Nothing; where the filling kept its colour, `no stain` under `seen` may give a lower bound."

    /// No stain: the bound is the lowest concentration that the sheet says leaves a visible one.
    BoundedByLowestVisible "bounded-by-lowest-visible" Statement;
        "Nothing; more strokes would give a lower bound."

    /// No stain: the bound is the first mark, as the sheet states no lowest visible concentration that counts here.
    BoundedByFirstMark "bounded-by-first-mark" Statement;
        "Nothing; more strokes would give a lower bound."

    /// The result is outside what the leaflet prints for this stroke count.
    OutsidePrintedRange "outside-printed-range" Flag, reads AsGiven says "outside the printed range", search Light;
        "Repeat with the stroke count in whose range the result lies."

    // The air at the place.

    /// No temperature is stated, or not the one that is needed to work out the result.
    TemperatureMissing "temperature-missing" Flag | Refusal, reads TooLow says "no temperature stated", search OfTheRecord;
        "State the air temperature, and the tube's where it differs."

    /// The tube was used outside the temperatures in which it works.
    OutsideUsableTemperature "outside-usable-temperature" Flag, reads EitherWay says "outside the usable temperatures",
        search Excludes("tube and pump brought into that range, and said as the temperature of the tube");
        "Bring tube and pump into that range, and state it as `tube_temperature`; or use another tube."

    /// The tube was at another temperature than the air that passed through it.
    TubeTemperatureDiffers "tube-temperature-differs" Flag | Statement, reads TooLow says "tube and air at different temperatures", search Heavy;
        "Let tube and pump come to the temperature of the place, and measure again if it matters."

    /// No humidity is stated, or the sheet corrects for it and there is nothing to correct with.
    HumidityMissing "humidity-missing" Flag | Refusal, reads TooLow says "no humidity stated", search OfTheRecord;
        "State the humidity of the air, relative or absolute."

    /// Whether the humidity lies in the range in which the tube works cannot be seen without the air temperature.
    HumidityNotComparable "humidity-not-comparable" Flag, reads TooLow says "humidity cannot be judged", search OfTheRecord;
        "State the air temperature."

    /// The tube was used outside the humidities in which it works.
    OutsideUsableHumidity "outside-usable-humidity" Flag, reads EitherWay says "outside the usable humidities",
        search Excludes("air in that range, or another tube");
        "Use a tube that works in this air."

    /// The humidity and the air temperature do not go together.
    HumidityImpossible "humidity-impossible" Refusal;
        "Look at both again; an absolute humidity is in g/m³ (the same as mg/L)."

    /// The sheet corrects for pressure, and none is known at the place.
    PressureMissing "pressure-missing" Refusal;
        "State the station pressure, or the altitude of the place, which is enough."

    /// No tube is used at such a pressure.
    PressureImpossible "pressure-impossible" Refusal;
        "Look at the unit again; the pressure is the absolute one at the place, not a gauge reading."

    /// The station pressure cannot be that of the altitude.
    PressureContradictsAltitude "pressure-contradicts-altitude" Refusal;
        "Write the pressure of a weather report as `sea_level_pressure`; else look at pressure, altitude and both units again."

    /// No air has such a pressure, reduced to sea level.
    SeaLevelPressureImpossible "sea-level-pressure-impossible" Refusal;
        "Write it as `pressure` if it was read at the place; else look at the unit again."

    /// A sea-level pressure says nothing about the place without the altitude, and was not used.
    SeaLevelPressureWithoutAltitude "sea-level-pressure-without-altitude" Flag | Statement, reads AsGiven, search Light;
        "State the altitude beside it, or the station pressure."

    /// No pressure can be worked out from the altitude.
    AltitudeImpossible "altitude-impossible" Refusal;
        "Look at the altitude and its unit again, or state the station pressure."

    /// The sea-level pressure was brought to the altitude with an assumed temperature, as none is stated.
    ColumnTemperatureAssumed "column-temperature-assumed" Flag | Statement, reads AsGiven, search Light;
        "State the air temperature."

    /// The survey's station pressure was not used for this reading, which is at another place.
    SurveyPressureNotUsed "survey-pressure-not-used" Statement;
        "Nothing; or state the station pressure with the reading, if it was read there."

    // What the sheet corrects for, step by step.

    /// The leaflet states a correction for one humidity only, and the air was not known to be at that.
    CorrectionAtAnotherHumidity "correction-at-another-humidity" Flag, reads EitherWay says "a correction stated for another humidity", search Heavy;
        "Measure at that humidity, or use a tube whose correction covers this one."

    /// The air may lie in a further band of a correction, as closely as it is known, where the factor is another one.
    AirInTwoBands "air-in-two-bands" Statement;
        "Measure the condition more closely if a verdict hangs on it."

    /// The reading lies below the first row of a correction table: the result is a bound, with the largest factor of its column.
    BelowFirstRow "below-first-row" Flag, reads AsGiven says "below the first row of a table", search Light;
        "Draw more strokes, so that the reading comes into the table, or measure at the calibration conditions."

    /// The leaflet says that the tube must not be used under such conditions.
    NotToBeUsedHere "not-to-be-used-here" Refusal;
        "Use a tube whose sheet covers these conditions."

    /// The leaflet prints nothing in a cell of a table that the result would need.
    EmptyCell "empty-cell" Refusal;
        "Measure at a condition or with a stroke count for which the leaflet prints a number, or use another tube; nothing is put in for it."

    /// The leaflet's correction does not hold for this stroke count.
    CorrectionNotForStrokes "correction-not-for-strokes" Refusal;
        "Repeat with a stroke count for which the leaflet states the correction."

    /// The leaflet says nothing of a correction for this condition, and none was made.
    CorrectionNotStated "correction-not-stated" Flag, reads AsGiven says "a correction not stated", search Light;
        "Ask whoever supplies the tube; write `none needed` on the sheet if that is the answer."

    /// The temperature is outside what the sheet's correction covers.
    OutsideTemperatureTable "outside-temperature-table" Refusal;
        "Bring tube and pump to a temperature inside it and state it as `tube_temperature`, or use another tube; nothing is extrapolated."

    /// The humidity is outside what the sheet's correction covers.
    OutsideHumidityTable "outside-humidity-table" Refusal;
        "Use a tube whose sheet covers this humidity; nothing is extrapolated."

    /// The pressure is outside what the sheet's correction covers.
    OutsidePressureTable "outside-pressure-table" Refusal;
        "Use a tube whose sheet covers this pressure; nothing is extrapolated."

    /// The reading is outside the table by which the scale is read for another gas.
    OutsideOtherGasTable "outside-other-gas-table" Refusal;
        "Repeat with a stroke count that gives a reading inside the table; nothing is extrapolated."

    /// The value lies between two rows of the temperature correction, and the sheet allows the printed ones only.
    BetweenRowsOfTemperatureTable "between-rows-of-temperature-table" Refusal;
        "Measure where the leaflet prints a row, or use another tube."

    /// The value lies between two rows of the humidity correction, and the sheet allows the printed ones only.
    BetweenRowsOfHumidityTable "between-rows-of-humidity-table" Refusal;
        "Measure where the leaflet prints a row, or use another tube."

    /// The value lies between two rows of the pressure correction, and the sheet allows the printed ones only.
    BetweenRowsOfPressureTable "between-rows-of-pressure-table" Refusal;
        "Measure where the leaflet prints a row, or use another tube."

    /// The value lies between two rows of the table for another gas, and the sheet allows the printed ones only.
    BetweenRowsOfOtherGasTable "between-rows-of-other-gas-table" Refusal;
        "Repeat with a stroke count that gives a value which the leaflet prints."

    /// A correction of the sheet gives no factor here that a stain can mean.
    FactorImpossible "factor-impossible" Refusal;
        "Look at the conditions, and have the sheet checked."

    /// The factor for this gas is printed for another stroke count; the strokes' own multiplier was used beside it.
    OtherGasStrokesDiffer "other-gas-strokes-differ" Flag, reads TooLow says "factor printed for other strokes", search Heavy;
        "Repeat with the stroke count that the factor is printed for."

    // Other gases in the air.

    /// A gas is said to be present that the tube measures itself; its level as stated was not used.
    PresentIsMeasured "present-is-measured" Statement;
        "Take the gas off the list of those present."

    /// Nothing is said about other gases: whether one disturbs the tube cannot be seen.
    OtherGasesNotStated "other-gases-not-stated" Flag | Statement, reads AsGiven says "nothing said about other gases", search OfTheRecord;
        "Ask what else may be in the air: list it under `present`, or write `other_gases: none known`."

    /// The uncertainty of what another gas does to the tube is not on the sheet, and a usual one was assumed.
    OtherGasResponseAssumed "other-gas-response-assumed" Flag, reads AsGiven says "response of another gas assumed", search Light;
        "Ask whoever supplies the tube for the uncertainty of the response."

    /// The uncertainty of the level of another gas is not stated, and a usual one was assumed.
    OtherGasLevelAssumed "other-gas-level-assumed" Flag, reads AsGiven says "level of another gas assumed", search Light;
        "State the standard uncertainty of the level under `present`."

    /// A gas is present, and the sheet does not say what it does to this tube.
    OtherGasNotOnSheet "other-gas-not-on-sheet" Flag, reads EitherWay says "effect of another gas not known", search Heavy;
        "Ask whoever supplies the tube, or use one whose sheet names the gas."

    /// A gas has no effect up to a level, and there is more of it than that.
    OtherGasAboveTested "other-gas-above-tested" Flag, reads EitherWay says "another gas at more than was tested", search Heavy;
        "Use a tube that was tested with as much of the gas."

    /// A gas has no effect up to a level, and the level stated cannot be compared with that.
    OtherGasLevelNotComparable "other-gas-level-not-comparable" Flag, reads EitherWay says "level of another gas cannot be compared", search Heavy;
        "State the level in the sheet's unit, or temperature and pressure beside it."

    /// A gas is below the level from which the sheet says that it matters.
    OtherGasBelowThreshold "other-gas-below-threshold" Statement;
        "Nothing."

    /// A gas is at or above the level from which the sheet says that it matters; its share was taken off.
    OtherGasAboveThreshold "other-gas-above-threshold" Statement;
        "Nothing: its share was taken off and widens the uncertainty."

    /// A gas that is present stains this tube by itself too.
    OtherGasStainsAlone "other-gas-stains-alone" Statement;
        "Take a stain as of both gases together."

    /// The uncertainty of the factor by which the scale is read for this gas is not stated, and was assumed.
    OtherGasFactorAssumed "other-gas-factor-assumed" Flag, reads AsGiven says "factor's uncertainty assumed", search Light;
        "Ask whoever supplies the tube for the uncertainty of the factor."

    /// The other gas makes the tube read too high, by an amount that is not known.
    IndicativeReadsHigh "indicative-reads-high" Flag, reads TooHigh says "another gas makes it read high", search Heavy;
        "State the level of the other gas if the sheet gives its response; else measure it by itself, or use a tube that it does not disturb."

    /// The other gas makes the tube read too low: there may be more than the result says.
    IndicativeReadsLow "indicative-reads-low" Flag, reads TooLow says "another gas makes it read low", search Heavy;
        "State the level of the other gas if the sheet gives its response; else use a tube that it does not disturb."

    /// The other gas washes the stain out: there may be much more than the result says.
    IndicativeStainMayBeMissed "indicative-stain-may-be-missed" Flag, reads TooLow says "another gas washes the stain out", search Heavy;
        "Use a tube that the other gas does not disturb, or a pre-tube that removes it."

    /// The other gas changes the colour of the stain, so that its end may be misread.
    IndicativeOtherColour "indicative-other-colour" Flag, reads EitherWay says "another gas changes the colour", search Heavy;
        "Use a tube that the other gas does not disturb."

    /// The other gas may change the reading, and the sheet does not say which way.
    IndicativeDirectionUnknown "indicative-direction-unknown" Flag, reads EitherWay says "another gas may disturb", search Heavy;
        "Ask whoever supplies the tube, or use one that the other gas does not disturb."

    /// The other gases as stated make most of the stain: what is left lies before the first mark, and gives a bound at most.
    OtherGasDominates "other-gas-dominates" Flag | Refusal, reads AsGiven, search Light;
        "Use a tube that these gases do not stain, or a pre-tube that removes them."

    /// The stain runs beyond the last mark, and the other gases as stated could make most of it.
    OtherGasHidesResult "other-gas-hides-result" Refusal;
        "Use a tube that these gases do not stain, or remove them with a pre-tube that the sheet names."

    /// Little or no stain was seen, and a gas that is present makes the tube read low or washes the stain out by an amount that is not known.
    OtherGasHidesStain "other-gas-hides-stain" Refusal;
        "Use a tube that the other gas does not disturb, or a pre-tube that removes it."

    /// What the other gas does to the stain was not taken off a bound, which holds all the more without that.
    OtherGasLeftInBound "other-gas-left-in-bound" Statement;
        "Nothing."

    // The uncertainty, and the other unit.

    /// The leaflet says where the end of the stain is read.
    ReadWhere "read-where" Statement;
        "Ask whoever read whether it was read there."

    /// The leaflet prints a deviation and does not say what it is; it counts as the accuracy.
    AccuracyKindNotSaid "accuracy-kind-not-said" Flag, reads AsGiven says "kind of accuracy not said", search Light;
        "Ask the maker whether it is the accuracy or the repeatability, and for which part of all readings."

    /// The leaflet states no accuracy, and a usual one was assumed.
    AccuracyAssumed "accuracy-assumed" Flag, reads AsGiven says "accuracy assumed", search Light;
        "Ask whoever supplies the tube for its accuracy, and enter it on the sheet."

    /// The sheet states no repeatability, and a usual one was assumed.
    RepeatabilityAssumed "repeatability-assumed" Flag, reads AsGiven says "repeatability assumed", search Light;
        "Ask whoever supplies the tube for its repeatability, and enter it on the sheet."

    /// The standard uncertainty is above 40 % of the result: interval and probabilities are rough, the lower end most of all.
    UncertaintyLarge "uncertainty-large" Flag, reads AsGiven, search Light;
        "Ask for draws with `--monte-carlo`, or measure again with a stroke count that reads higher on the scale."

    /// The uncertainty covers the air that was drawn, not how the air varies in place and time.
    CoversAirDrawn "covers-air-drawn" Statement;
        "Keep it in mind where one reading is to stand for a place or a shift."

    /// The uncertainty of the molar mass is below 0.1 % and left out of the budget.
    MolarMassNegligible "molar-mass-negligible" Statement;
        "Nothing."

    /// The result is more than the whole of the air.
    MoreThanTheWhole "more-than-the-whole" Flag, reads AsGiven, search Light;
        "Look at the reading again."

    /// The scale is stated in dry air, and how much that is in the air as it is cannot be said.
    WaterVapourUnknown "water-vapour-unknown" Flag, reads AsGiven says "water vapour not known", search Light;
        "State humidity, temperature and pressure; the difference is up to a few percent in warm, damp air."

    /// The sheet does not say whether the scale's mg/m³ are in the air as drawn or at the calibration conditions.
    MassBasisNotStated "mass-basis-not-stated" Flag, reads AsGiven says "mg/m³ taken as of the air drawn", search Light;
        "Ask whoever supplies the tube, and enter it on the sheet; it was taken from its pressure correction."

    /// The result is not given in the other unit, which needs the air temperature and the station pressure.
    OtherUnitNeedsConditions "other-unit-needs-conditions" Flag, reads AsGiven, search Light;
        "State the air temperature and the station pressure (an altitude is enough)."

    /// The draws and the law of propagation disagree about an end of the interval by more than a tolerance.
    PropagationRough "propagation-rough" Flag | Statement, reads AsGiven, search Light;
        "Take the interval of the draws."

    /// The draws ended before the second digit of the uncertainty stood still.
    DrawsNotSettled "draws-not-settled" Flag, reads AsGiven, search Light;
        "Ask for more with `--draws`."

    /// Some draws ran beyond an end of a table or of the scale, and were held there.
    DrawsHeld "draws-held" Statement;
        "Nothing; many of them mean that the reading lies close to an end of what the sheet covers."

    /// Nobody says how finely the tube was read; half the space between two marks is assumed.
    ReadsToAssumed "reads-to-assumed" Statement;
        "Write `reads_to: quarter` (or nearest mark, half, tenth) into the survey or the reading, as it is."

    /// Every reading of the survey lies on a mark, and nobody says how finely was read: they are taken as read to the nearest mark.
    ReadOnMarksOnly "read-on-marks-only" Flag, reads AsGiven, search OfTheRecord;
        "Write under `reads_to` how finely was read; whoever reads to the nearest mark can tell less."

    /// The figures of the sheet leave nearly as much open as the stain is long: the upper end of the interval is far away, or there is none.
    UpperEndOpen "upper-end-open" Flag, reads AsGiven, search Heavy;
        "Do not rely on the upper end; use a tube with closer figures, or have those of the sheet checked against its leaflet."

    /// The figures leave so much open that the stain could come from any concentration.
    NothingCanBeTold "nothing-can-be-told" Refusal;
        "Read more finely and say so, or use a tube with closer figures."

    // The comparison with limits.

    /// The survey asks for a certainty that cannot be, and the usual one was used.
    CertaintyUnusable "certainty-unusable" Flag, reads AsGiven, search Light;
        "Ask for more than 50 % and less than 100 %."

    /// The survey names no limit that the gas has: nothing was compared.
    NoLimitNamed "no-limit-named" Statement;
        "Name a limit that the gas has under `judge`, or none, which compares with all of them."

    // The survey's file and tables.

    /// A field of the reading cannot be read, and what was typed is not known.
    ReadingUnreadable "reading-unreadable" Refusal;
        "Correct the field; the other readings are not affected."

    /// A rule of the checker calls the reading wrong.
    ReadingHasErrors "reading-has-errors" Flag | Refusal, reads EitherWay says "reading has errors", search OfTheRecord;
        "Correct the field; `stainbook check` names the place."

    /// A condition of the whole survey cannot be read, and this reading states none of its own.
    ConditionsUnreadable "conditions-unreadable" Refusal;
        "Correct the field under `conditions`."

    /// A rule of the checker calls a condition of the whole survey wrong, and this reading states none of its own.
    ConditionsHaveErrors "conditions-have-errors" Flag | Refusal, reads EitherWay says "conditions have errors", search OfTheRecord;
        "Correct the field under `conditions`; `stainbook check` names the place."

    /// A field of what is said of readings together cannot be read.
    TogetherUnreadable "together-unreadable" Refusal;
        "Correct the field under `together`."

    /// A rule of the checker calls what is said of readings together wrong.
    TogetherHasErrors "together-has-errors" Refusal;
        "Correct the field under `together`; `stainbook check` names the place."

    /// A row of the table cannot be read.
    RowUnreadable "row-unreadable" Refusal;
        "Correct the cell; the other rows are not affected."

    /// The rows of one average say different things of it.
    RowsContradict "rows-contradict" Refusal;
        "Say it in one row, or the same in all."

    /// Results were written row by row, and this one was not put together with the others.
    NotJudgedTogether "not-judged-together" Statement;
        "Write the results as text, JSON or `together-csv`."

    // Readings together: what any of them may say.

    /// No reading is named.
    NoReadings "no-readings" Refusal;
        "Name the readings by their `id`."

    /// A reading is named twice.
    ReadingNamedTwice "reading-named-twice" Refusal;
        "Name each reading once."

    /// There is no reading of this name, and no average of it above.
    ReadingUnknown "reading-unknown" Refusal;
        "Write the `id` of a reading under `readings`, or that of an average that stands above under `averages`."

    /// A reading that is named has no result.
    ReadingRefused "reading-refused" Refusal;
        "Look at the reading itself, which says why."

    /// The result of a reading cannot be given as a volume fraction.
    ReadingWithoutVolumeFraction "reading-without-volume-fraction" Refusal;
        "State the air temperature and the station pressure (an altitude is enough)."

    /// A blank is among the readings: it says nothing about the air of the workplace.
    BlankAmongReadings "blank-among-readings" Refusal;
        "Take it off the list."

    /// The readings are of several gases.
    SeveralGases "several-gases" Refusal;
        "Name readings of one gas; for gases that act alike use `method: mixture`."

    /// The catalog's entry of the substance cannot be computed with.
    SubstanceUnusable "substance-unusable" Refusal;
        "Have the entry checked."

    /// What is taken as common to readings does not average out; the rest is each reading's own.
    SharedUncertainty "shared-uncertainty" Statement;
        "Nothing."

    /// Draws were asked for, and this is a bound: what it reaches and is judged by follows from the law of propagation.
    NotDrawn "not-drawn" Statement;
        "Nothing."

    // Blanks and repeats.

    /// The reading is a blank, drawn in clean air, and is not compared with limits.
    Blank "blank" Statement;
        "Nothing."

    /// The blank did not stain.
    BlankClean "blank-clean" Statement;
        "Nothing."

    /// A blank of the lot showed a stain: readings of the lot may be too high by as much.
    BlankStained "blank-stained" Flag, reads TooHigh says "a blank of the lot stained", search OfTheRecord;
        "Find out whether tubes, pump or the clean air were at fault, and measure again; nothing is taken off."

    /// The reading is said to repeat another one that is not there.
    RepeatOfUnknown "repeat-of-unknown" Flag, reads AsGiven, search Light;
        "Write the `id` of the reading that it repeats."

    /// Repeats differ by more than repeatability and reading explain.
    RepeatsDiffer "repeats-differ" Flag, reads AsGiven, search Light;
        "Take the air as having changed, or one of the tubes as drawn or read wrongly; repeat it."

    /// The repeats are of several sheets, and their spread is not held against one sheet's repeatability.
    RepeatsOfSeveralSheets "repeats-of-several-sheets" Statement;
        "Nothing."

    /// Some repeats are bounds: the mean lies between the ends, and the spread is not tested.
    RepeatsWithBounds "repeats-with-bounds" Statement;
        "Repeat with a stroke count that gives a value."

    // Averages over time.

    /// A reading does not say how long it stands for.
    TimeMissing "time-missing" Refusal;
        "Write `stands_for` with the time during which the air was like that, as somebody who was there judges it."

    /// The period of the average is zero.
    NoPeriod "no-period" Refusal;
        "Write the period of the limit under `over`: `8 h` or `15 min`."

    /// No reading stands for part of the period: the average has no upper bound.
    TimeNotCovered "time-not-covered" Flag, reads AsGiven, search Light;
        "Say what was in that time, with a reading or under `rest`."

    /// The readings stand for more time than the period.
    LongerThanPeriod "longer-than-period" Flag | Refusal, reads AsGiven, search Light;
        "For a short period name only the readings with the most of the gas; a long shift counts as taken in within the period."

    /// Tubes for short-term measurement are not meant for reference periods above 15 minutes.
    IndicativeLongPeriod "indicative-long-period" Flag, reads AsGiven says "indicative over so long a period", search Light;
        "Measure with a method for long periods if the verdict matters."

    /// The average rests on each reading standing for its time.
    RestsOnTime "rests-on-time" Statement;
        "Nothing; its uncertainty does not cover how the air varied in between."

    // Mixtures of gases that act alike.

    /// The survey does not say that these gases act alike.
    SameEffectNotStated "same-effect-not-stated" Refusal;
        "Write under `same_effect` what they do alike, as somebody who may say so has judged."

    /// That the gases act alike is said by the survey.
    SameEffectAsStated "same-effect-as-stated" Statement;
        "Nothing."

    /// One gas is no mixture.
    MixtureOfOne "mixture-of-one" Refusal;
        "Name a reading or an average for each gas."

    /// Two of the parts are of the same gas.
    GasNamedTwice "gas-named-twice" Refusal;
        "Name one reading or average for each gas; put several together by `method: average` first."

    /// A group of gases cannot be part of a mixture: its total has no limit of its own.
    GroupInMixture "group-in-mixture" Refusal;
        "Measure the gases of the group one by one."

    /// It does not say which limits are meant.
    LimitNotStated "limit-not-stated" Refusal;
        "Write `limit` with `authority` (or `source`) and `kind`."

    /// The gas has no such limit.
    NoSuchLimit "no-such-limit" Refusal;
        "Name an authority and a kind of limit that every gas here has."

    /// The gas has several such limits.
    SeveralSuchLimits "several-such-limits" Refusal;
        "Name the `source` as well."

    /// The limits are of two authorities or kinds.
    LimitsOfTwoAuthorities "limits-of-two-authorities" Refusal;
        "Name limits of one authority and one kind."

    /// The limit cannot be compared with: its source does not say at which conditions its mg/m³ are meant.
    LimitNotComparable "limit-not-comparable" Refusal;
        "State the conditions in the entry of the source."

    /// A reading of minutes is set against a limit over a longer time.
    ReadingAgainstLongLimit "reading-against-long-limit" Refusal;
        "Put the readings of the shift together by `method: average`, and name that average under `averages`."

    /// An average is over another period than the limit.
    PeriodDiffers "period-differs" Refusal;
        "Average over the period of the limit."

    /// An average is set against a limit that is not for averages.
    AverageAgainstCeiling "average-against-ceiling" Refusal;
        "Name the readings themselves."

    // The tests of an exposure group.

    /// The survey does not say whose exposure this is.
    GroupNotStated "group-not-stated" Refusal;
        "Write under `exposure_group` which people do the same work in the same air."

    /// The survey does not say that each value stands for a whole reference period.
    NotForAPeriod "not-for-a-period" Refusal;
        "Write `represents_reference_period: true` if that is so; if not, measure over the period."

    /// The values are totals of a group of gases, which has no limit of its own.
    GroupOfGases "group-of-gases" Refusal;
        "Measure the gas by itself."

    /// The limit has no reference period.
    NotAnAverage "not-an-average" Refusal;
        "Name an 8-hour average or a short-term limit; each reading is compared with the others by itself."

    /// There are fewer values than the test needs.
    TooFewValues "too-few-values" Refusal;
        "Measure further, on different days or shifts."

    /// All values are the same: they are read too coarsely for a test that lives on their spread.
    NoSpread "no-spread" Refusal;
        "Read between the marks, or measure with a finer scale."

    /// The values do not look lognormal, which the group test takes for granted.
    NotLognormal "not-lognormal" Flag, reads AsGiven, search Light;
        "Look at a probability plot, and at whether they are of one group."

    /// The test rests on a doubtful value.
    RestsOnDoubtful "rests-on-doubtful" Statement;
        "Look at the flag of the value; measure it again if it matters."

    /// That the values stand for reference periods of one exposure group is said by the survey.
    GroupAsStated "group-as-stated" Statement;
        "Nothing."

    /// The tests of EN 689 compare the values as they are; the uncertainty of each stands with its reading.
    TestWithoutUncertainty "test-without-uncertainty" Statement;
        "Nothing."

    // Gases that disturb each other's tubes, solved for together.

    /// One tube cannot be solved together with another.
    OneTube "one-tube" Refusal;
        "Name the readings of all the gases that disturb each other."

    /// A reading states the level of a gas that is to be solved for.
    LevelStatedAndSolved "level-stated-and-solved" Refusal;
        "Leave the level out, or the row under `together`."

    /// The sheet of a tube does not say how much another gas adds to the reading.
    ResponseNotStated "response-not-stated" Refusal;
        "Use a tube that the other gas does not disturb, or one whose sheet states the response."

    /// With the responses of the sheets the readings leave nothing for a gas.
    ReadingsContradict "readings-contradict" Refusal;
        "Repeat both readings; take the gas as not shown to be there, and state the other one under `present`."

    /// No levels were found that fit all readings.
    DoesNotSettle "does-not-settle" Refusal;
        "Use tubes that the other gases disturb less, or a pre-tube that removes them."

    /// Each of the tubes answers to the other's gas nearly as to its own.
    TubesTellTooLittleApart "tubes-tell-too-little-apart" Refusal;
        "Use a tube that the other gas disturbs less, or a pre-tube that removes it."

    /// Two of the stains ran beyond the last mark: either gas could have made both.
    BoundsInSystem "bounds-in-system" Refusal;
        "Repeat them with fewer strokes."

    /// One of the readings is a bound, and its gas makes another tube read too low by an amount that a bound does not tell.
    BoundInSystem "bound-in-system" Refusal;
        "Repeat the reading that is a bound with the stroke count that gives a value."

    /// A bound among the readings leaves bounds: each gas with the others at their highest, and at their lowest.
    SolvedWithBounds "solved-with-bounds" Statement;
        "Repeat the reading that is a bound with the stroke count that gives a value."

    /// That the tubes drew the same air is said by the survey; what names these readings uses the values found here.
    SolvedForOneAir "solved-for-one-air" Statement;
        "Nothing."

    /// The strokes of one pump and the barometer are taken as common to the tubes, everything else as each tube's own.
    SharedBetweenTubes "shared-between-tubes" Statement;
        "Nothing."

    // An example of a leaflet that is worked out.

    /// The example of the leaflet leaves out what is needed to work it out.
    ExampleIncomplete "example-incomplete" Refusal;
        "Complete the example from the leaflet."

    // The search for a tube: the question.

    /// No substance is called so in the catalog.
    UnknownSubstance "unknown-substance" Refusal;
        "Look at the name again, or add the substance to your catalog."

    /// Several substances may be meant.
    AmbiguousSubstance "ambiguous-substance" Refusal;
        "Name one of them: their limits and the tubes for them may differ."

    /// A group of gases has no limits.
    GroupWithoutLimits "group-without-limits" Refusal;
        "Say the level of the group's total with `--level`, or name one substance."

    /// At which level the tube has to read is not said.
    LevelMissing "level-missing" Refusal;
        "Add `--level`, or `--limit` with the words of a limit."

    /// The catalog has no limits of the gas.
    NoLimits "no-limits" Refusal;
        "Say the level with `--level`, or add the limit to your catalog."

    /// No limit of the gas goes by these words.
    LimitUnknown "limit-unknown" Refusal;
        "Choose from the limits that are listed."

    /// Several limits of the gas go by these words.
    LimitAmbiguous "limit-ambiguous" Refusal;
        "Say which, in the words that are listed."

    /// The source of the limit does not say at which conditions its mg/m³ are meant.
    LimitWithoutConditions "limit-without-conditions" Refusal;
        "Say the level in ppm with `--level`, or add the conditions to the source's entry."

    /// How many ppm the level is depends on temperature and pressure, and they are not stated.
    MissingConditions "missing-conditions" Refusal;
        "Add `--temperature` and `--pressure` (or `--altitude`), or say the level in ppm."

    /// The pump that was asked for cannot be looked up.
    PumpUnusable "pump-unusable" Refusal;
        "Have its entry checked."

    /// A level was taken at the reference conditions of the catalog, as none are stated.
    ReferenceConditions "reference-conditions" Statement;
        "State temperature and pressure if the place has others."

    /// Conditions that are not stated were taken as at each sheet's calibration.
    ConditionsAssumed "conditions-assumed" Statement;
        "State them: a tube that serves at its calibration may not serve at the place."

    /// How far around a limit a procedure should measure, and how well, is taken from the source named.
    Demands "demands" Statement;
        "Nothing."

    // The search for a tube: why a sheet cannot serve.

    /// The sheet is of another gas, and prints no factor for this one.
    OtherGasOnly "other-gas-only" Refusal;
        "Look for a leaflet that prints a factor for the gas."

    /// The tube answers to the gas as one of a group, and how strongly is not on the sheet.
    GroupMemberOnly "group-member-only" Refusal;
        "Add a factor under `also_measures`, if the leaflet prints one; or look for the group's total."

    /// The level cannot be given as a volume fraction of the gas.
    LevelNotComparable "level-not-comparable" Refusal;
        "Say the level in ppm, or temperature and pressure."

    /// The level is below what the tube measures in this air.
    LevelBelowRange "level-below-range" Refusal;
        "Look for a tube with a lower range."

    /// The level is above what the tube measures in this air.
    LevelAboveRange "level-above-range" Refusal;
        "Look for a tube with a higher range."

    /// The level lies between two bands of the leaflet's stroke counts.
    LevelBetweenBands "level-between-bands" Refusal;
        "Look for a leaflet whose bands adjoin."

    /// The stroke count that would read the level takes longer than there is time.
    TimeTooShort "time-too-short" Refusal;
        "Allow more time for drawing, or use another tube."

    /// The leaflet prints no stroke count for this gas that the scale reaches.
    NoStrokeCount "no-stroke-count" Refusal;
        "Have the sheet checked."

    /// The range of this stroke count is not on the scale.
    RangeOffTheScale "range-off-the-scale" Refusal;
        "Have the sheet checked."

    // The search for a tube: what speaks for and against one that can.

    /// The scale is printed for the gas, or the tube answers to the group that is looked for.
    OwnScale "own-scale" Reason;
        "Nothing."

    /// The scale is printed for another gas, and this one is read by the leaflet's factor.
    ByFactor "by-factor" Reason;
        "Prefer a tube whose scale is printed for the gas."

    /// The uncertainty is as small as a procedure for this limit should have it.
    UncertaintyAsDemanded "uncertainty-as-demanded" Reason;
        "Nothing."

    /// The uncertainty is larger than a procedure for this limit should have it.
    UncertaintyAboveDemand "uncertainty-above-demand" Reason;
        "Take a verdict near the limit as open, or measure by another method."

    /// The tube measures around the limit.
    CoversLimit "covers-limit" Reason;
        "Nothing."

    /// The tube does not measure down to the part of the limit that a procedure should reach.
    PartOfLimitNotReached "part-of-limit-not-reached" Reason;
        "Use a second tube for the low end."

    /// The tube does not measure up to the multiple of the limit that a procedure should reach.
    NotUpToTwiceTheLimit "not-up-to-twice-the-limit" Reason;
        "Use a second tube for the high end."

    /// The level lies close to an end of what the stroke count measures.
    NearEndOfRange "near-end-of-range" Reason;
        "Prefer another stroke count."

    /// Half strokes are drawn, which not every pump does evenly.
    HalfStrokes "half-strokes" Reason;
        "Use a pump that draws half strokes."

    /// A gas as stated changes the reading by a share that is known and taken off.
    OtherGasSubtracted "other-gas-subtracted" Reason;
        "Prefer a tube that the gas does not disturb."

    /// A gas as stated does not change the reading.
    OtherGasNoEffect "other-gas-no-effect" Reason;
        "Nothing."

    /// The temperature stated is one at which the tube works.
    UsableTemperature "usable-temperature" Reason;
        "Nothing."

    /// Two people have read the leaflet.
    SheetVerified "sheet-verified" Reason;
        "Nothing."

    /// The sheet is of an older revision of the leaflet, for its own lots only.
    OlderRevision "older-revision" Reason;
        "Take a box of the newer lots, with the sheet that replaces this one."

    /// The tube needs a separate pre-tube before it.
    PreTubeNeeded "pre-tube-needed" Reason;
        "Take the pre-tube along, and look at its expiry."

    /// How the box is stored, and how long it keeps.
    Storage "storage" Reason;
        "Look at the box before the round."

    /// The box is stored cold, and has to come to the temperature of the place before use.
    ColdStorage "cold-storage" Reason;
        "Take the box out in time."

    // The search for a tube: gases to watch for.

    /// The gas, if it is there, makes the tube read high.
    ReadsHigh "reads-high" Statement;
        "Ask whether it may be there, and say so with `--present`."

    /// The gas, if it is there, makes the tube read low.
    ReadsLow "reads-low" Statement;
        "Ask whether it may be there, and say so with `--present`."

    /// The gas, if it is there, washes the stain out.
    WashesOut "washes-out" Statement;
        "Ask whether it may be there, and say so with `--present`."

    /// The gas, if it is there, changes the colour of the stain.
    OtherColour "other-colour" Statement;
        "Ask whether it may be there, and say so with `--present`."

    /// The gas, if it is there, may disturb; the sheet does not say how.
    NotStated "not-stated" Statement;
        "Ask whether it may be there, and say so with `--present`."

    // What everybody who reads a result has to know.

    /// Detector tubes alone never clear a confined space, nor an atmosphere that is short of oxygen or can explode.
    NoClearance "no-clearance" Statement;
        "Clear such a space by the local procedure."

    /// The limits and procedures of the local code prevail over what is compared here.
    LocalCode "local-code" Statement;
        "Look at the local code."

    /// A competent person decides; the figures do not.
    CompetentPerson "competent-person" Statement;
        "Show the result to whoever decides."

    /// Used tubes are broken glass with reactive chemicals inside.
    UsedTubes "used-tubes" Statement;
        "Dispose of them as the sheet says."

}
