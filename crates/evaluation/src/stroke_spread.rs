//! Spread of single strokes of a pump, from volume checks that were repeated on one day.
//!
//! Checks of different years follow the wear of a pump and are no repeats. Repeated ones give a standard deviation with
//! `n − 1` degrees of freedom (JCGM 100:2008, 4.2.2 and 4.2.6), which a reading with several strokes averages. How far the
//! mean stroke is from its nominal volume is another matter: the result is not corrected for it, and the pump's tolerance
//! stands for it in the budget.

use stainbook_core::elementary::powi;

/// The spread of single strokes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct StrokeSpread {
    /// The standard deviation of one stroke, as a part of its volume.
    pub(crate) of_one: f64,
    /// One less than the number of checks.
    pub(crate) degrees_of_freedom: f64,
}

impl StrokeSpread {
    /// Of volumes that were found on one day; nothing if there are fewer than two, of which there is no spread.
    pub(crate) fn of(volumes: &[f64]) -> Option<Self> {
        let mean = mean(volumes)?;
        let degrees_of_freedom = f64::from(u32::try_from(volumes.len().checked_sub(1)?).ok()?);
        if degrees_of_freedom < 1.0 || mean <= 0.0 {
            return None;
        }
        let squares: f64 = volumes.iter().map(|volume| powi(volume - mean, 2)).sum();
        Some(Self {
            of_one: (squares / degrees_of_freedom).sqrt() / mean,
            degrees_of_freedom,
        })
    }

    /// The standard uncertainty of the volume of so many strokes together, as a part of it. Each is another one; half a stroke
    /// is half of one.
    pub(crate) fn of_strokes(self, strokes: f64) -> f64 {
        self.of_one / strokes.sqrt()
    }
}

/// The mean; nothing of nothing.
pub(crate) fn mean(volumes: &[f64]) -> Option<f64> {
    let count = f64::from(u32::try_from(volumes.len()).ok()?);
    (0.0 < count).then(|| volumes.iter().sum::<f64>() / count)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_hand() {
        // Mean 99; squares 1 + 0 + 1 + 0 + 0 over 4: 0.5; √0.5 = 0.70711 of 99.
        let spread = StrokeSpread::of(&[98.0, 99.0, 100.0, 99.0, 99.0]).unwrap();
        assert!((spread.of_one - 0.5_f64.sqrt() / 99.0).abs() < 1e-12);
        assert_eq!(spread.degrees_of_freedom, 4.0);
        assert!((spread.of_strokes(4.0) - spread.of_one / 2.0).abs() < 1e-15);
        assert_eq!(StrokeSpread::of(&[99.0]), None);
        assert_eq!(StrokeSpread::of(&[]), None);
    }
}
