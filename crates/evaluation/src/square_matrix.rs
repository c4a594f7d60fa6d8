//! A few linear equations: small square matrices.

/// A square matrix.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Matrix {
    n: usize,
    cells: Vec<f64>,
}

impl Matrix {
    /// Ones on the diagonal.
    pub(crate) fn unit(n: usize) -> Self {
        let mut unit = Self {
            n,
            cells: vec![0.0; n * n],
        };
        for i in 0..n {
            unit.set(i, i, 1.0);
        }
        unit
    }

    /// A cell; zero outside.
    pub(crate) fn get(&self, row: usize, column: usize) -> f64 {
        self.cells
            .get(row * self.n + column)
            .copied()
            .unwrap_or(0.0)
    }

    pub(crate) fn set(&mut self, row: usize, column: usize, value: f64) {
        if let Some(cell) = self.cells.get_mut(row * self.n + column) {
            *cell = value;
        }
    }

    /// The product with a column.
    pub(crate) fn times(&self, column: &[f64]) -> Vec<f64> {
        (0..self.n)
            .map(|row| {
                column
                    .iter()
                    .enumerate()
                    .map(|(index, x)| self.get(row, index) * x)
                    .sum()
            })
            .collect()
    }

    /// The inverse, by elimination with the largest pivot; nothing if the determinant is below a bound or is no number.
    pub(crate) fn inverse(&self, least_determinant: f64) -> Option<Self> {
        let n = self.n;
        let (mut left, mut right) = (self.clone(), Self::unit(n));
        let mut determinant = 1.0;
        for column in 0..n {
            let pivot = (column..n).max_by(|a, b| {
                left.get(*a, column)
                    .abs()
                    .total_cmp(&left.get(*b, column).abs())
            })?;
            let value = left.get(pivot, column);
            determinant *= value;
            if !value.is_finite() || value.abs() <= f64::MIN_POSITIVE {
                return None;
            }
            for matrix in [&mut left, &mut right] {
                for index in 0..n {
                    let (above, below) = (matrix.get(column, index), matrix.get(pivot, index));
                    matrix.set(pivot, index, above);
                    matrix.set(column, index, below / value);
                }
            }
            for row in (0..n).filter(|row| *row != column) {
                let factor = left.get(row, column);
                for matrix in [&mut left, &mut right] {
                    for index in 0..n {
                        let cell = matrix.get(row, index) - factor * matrix.get(column, index);
                        matrix.set(row, index, cell);
                    }
                }
            }
        }
        (least_determinant <= determinant.abs()).then_some(right)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn matrix(rows: &[&[f64]]) -> Matrix {
        Matrix {
            n: rows.len(),
            cells: rows.concat(),
        }
    }

    /// By hand: the determinant is 1 − 0.5 · 0.2 = 0.9.
    #[test]
    fn two_by_two() {
        let inverse = matrix(&[&[1.0, 0.5], &[0.2, 1.0]]).inverse(0.1).unwrap();
        let expected = [1.0 / 0.9, -0.5 / 0.9, -0.2 / 0.9, 1.0 / 0.9];
        for (cell, expected) in inverse.cells.iter().zip(expected) {
            assert!((cell - expected).abs() < 1e-12, "{inverse:?}");
        }
    }

    #[test]
    fn pivots_are_found() {
        let m = matrix(&[&[0.0, 2.0, 1.0], &[1.0, 0.0, 3.0], &[2.0, 1.0, 0.0]]);
        let inverse = m.inverse(0.1).unwrap();
        for i in 0..3 {
            let mut column = [0.0; 3];
            column[i] = 1.0;
            let back = m.times(&inverse.times(&column));
            for (x, y) in back.iter().zip(column) {
                assert!((x - y).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn what_tells_nothing_has_none() {
        assert_eq!(matrix(&[&[1.0, 1.0], &[1.0, 1.0]]).inverse(0.0), None);
        assert_eq!(matrix(&[&[1.0, 0.97], &[0.97, 1.0]]).inverse(0.1), None);
        assert_eq!(matrix(&[&[1.0, f64::NAN], &[0.0, 1.0]]).inverse(0.1), None);
    }
}
