//! Classes of slips between paper and keyboard.

/// A class of slips.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum SlipClass {
    DecimalPoint,
    DigitsSwapped,
    DigitWrong,
    DigitDropped,
    DigitDoubled,
    SignLost,
    UnitSibling,
    RowLeftOut,
    RowDoubled,
    RowsSwapped,
    ColumnsSwapped,
    ShiftedByACell,
    WrongSubstance,
    WrongReference,
    BlockCopied,
}

impl SlipClass {
    /// All of them, in words.
    pub(super) const ALL: [(Self, &'static str); 15] = [
        (Self::DecimalPoint, "decimal point moved by a place"),
        (Self::DigitsSwapped, "two neighbouring digits swapped"),
        (Self::DigitWrong, "one digit wrong"),
        (Self::DigitDropped, "a digit dropped"),
        (Self::DigitDoubled, "a digit doubled"),
        (Self::SignLost, "sign lost"),
        (Self::UnitSibling, "unit replaced by a sibling"),
        (Self::RowLeftOut, "a row left out"),
        (Self::RowDoubled, "a row doubled"),
        (Self::RowsSwapped, "two rows swapped"),
        (Self::ColumnsSwapped, "two columns swapped"),
        (Self::ShiftedByACell, "a column shifted by one cell"),
        (Self::WrongSubstance, "wrong substance"),
        (Self::WrongReference, "wrong pump kind or other reference"),
        (Self::BlockCopied, "a block copied from another sheet"),
    ];

    /// In words.
    pub(super) fn name(self) -> &'static str {
        let own = Self::ALL.into_iter().find(|(class, _)| *class == self);
        own.map_or("", |(_, name)| name)
    }

    /// True if it is a slip of rows or columns.
    pub(super) fn is_row_or_column(self) -> bool {
        matches!(
            self,
            Self::RowLeftOut
                | Self::RowDoubled
                | Self::RowsSwapped
                | Self::ColumnsSwapped
                | Self::ShiftedByACell
        )
    }
}
