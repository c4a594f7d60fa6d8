//! Distributions of inputs about their estimates, from which the standard uncertainty follows and trials
//! are drawn.
//!
//! The kinds are those of JCGM 101:2008, 6.4. All are about zero: an input is its estimate plus what is drawn here.

use std::f64::consts::TAU;

use crate::elementary::sin;

use crate::monte_carlo::Generator;

/// A distribution about zero, in the unit of its input.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Distribution {
    /// Normal, with this standard deviation (JCGM 101:2008, 6.4.7).
    Normal {
        /// The standard deviation.
        standard: f64,
    },
    /// Student's t, scaled: what a mean of few readings leaves open (JCGM 101:2008, 6.4.9).
    StudentT {
        /// The standard uncertainty, s/√n. The distribution's own standard deviation is √(ν/(ν − 2)) times that.
        scale: f64,
        /// ν, above zero.
        degrees_of_freedom: f64,
    },
    /// Anywhere within the half width, all places as likely (JCGM 101:2008, 6.4.2).
    Rectangular {
        /// Half the width.
        half_width: f64,
    },
    /// The sum of two that are rectangular with the same width (JCGM 101:2008, 6.4.5).
    Triangular {
        /// Half the width of the base.
        half_width: f64,
    },
    /// The sum of two that are rectangular with different widths (JCGM 101:2008, 6.4.4).
    Trapezoid {
        /// Half the width of the base.
        half_width: f64,
        /// The top over the base, 0 to 1.
        top: f64,
    },
    /// Rectangular with ends that are not exactly known (JCGM 101:2008, 6.4.3).
    CurvilinearTrapezoid {
        /// Half the width as stated.
        half_width: f64,
        /// Half-width of the inexactness of each end.
        inexactness: f64,
    },
    /// Arcsine (U-shaped) distribution of a quantity that cycles sinusoidally (JCGM 101:2008, 6.4.6).
    Arcsine {
        /// Half the width.
        half_width: f64,
    },
}

impl Distribution {
    /// The standard uncertainty that the law of propagation takes (JCGM 100:2008, 4.3, and 4.2.3 for a mean of readings).
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_uncertainty::distribution::Distribution;
    /// let triangular = Distribution::Triangular { half_width: 0.1 };
    /// assert!((triangular.standard() - 0.1 / 6.0_f64.sqrt()).abs() < 1e-15);
    /// ```
    pub fn standard(self) -> f64 {
        match self {
            Self::Normal { standard } => standard,
            Self::StudentT { scale, .. } => scale,
            Self::Rectangular { half_width } => half_width / 3.0_f64.sqrt(),
            Self::Triangular { half_width } => half_width / 6.0_f64.sqrt(),
            Self::Trapezoid { half_width, top } => half_width * ((1.0 + top * top) / 6.0).sqrt(),
            Self::CurvilinearTrapezoid {
                half_width,
                inexactness,
            } => (half_width * half_width / 3.0 + inexactness * inexactness / 9.0).sqrt(),
            Self::Arcsine { half_width } => half_width / 2.0_f64.sqrt(),
        }
    }

    /// The degrees of freedom of that standard uncertainty: infinite for all but Student's t.
    pub fn degrees_of_freedom(self) -> f64 {
        match self {
            Self::StudentT {
                degrees_of_freedom, ..
            } => degrees_of_freedom,
            _ => f64::INFINITY,
        }
    }

    /// As in the output: `normal`, `rectangular` …
    pub fn name(self) -> &'static str {
        match self {
            Self::Normal { .. } => "normal",
            Self::StudentT { .. } => "Student's t",
            Self::Rectangular { .. } => "rectangular",
            Self::Triangular { .. } => "triangular",
            Self::Trapezoid { .. } => "trapezoid",
            Self::CurvilinearTrapezoid { .. } => "curvilinear trapezoid",
            Self::Arcsine { .. } => "arcsine",
        }
    }

    /// The same about so many times the width: of an input times a factor.
    ///
    /// # Example
    ///
    /// ```
    /// use stainbook_uncertainty::distribution::Distribution;
    /// let rectangular = Distribution::Rectangular { half_width: 2.0 };
    /// assert_eq!(rectangular.scaled(0.5), Distribution::Rectangular { half_width: 1.0 });
    /// ```
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        match self {
            Self::Normal { standard } => Self::Normal {
                standard: standard * factor,
            },
            Self::StudentT {
                scale,
                degrees_of_freedom,
            } => Self::StudentT {
                scale: scale * factor,
                degrees_of_freedom,
            },
            Self::Rectangular { half_width } => Self::Rectangular {
                half_width: half_width * factor,
            },
            Self::Triangular { half_width } => Self::Triangular {
                half_width: half_width * factor,
            },
            Self::Trapezoid { half_width, top } => Self::Trapezoid {
                half_width: half_width * factor,
                top,
            },
            Self::CurvilinearTrapezoid {
                half_width,
                inexactness,
            } => Self::CurvilinearTrapezoid {
                half_width: half_width * factor,
                inexactness: inexactness * factor,
            },
            Self::Arcsine { half_width } => Self::Arcsine {
                half_width: half_width * factor,
            },
        }
    }

    /// Normal, or Student's t where the figure itself rests on few readings.
    pub fn normal_or_t(standard: f64, degrees_of_freedom: f64) -> Self {
        if degrees_of_freedom.is_finite() {
            Self::StudentT {
                scale: standard,
                degrees_of_freedom,
            }
        } else {
            Self::Normal { standard }
        }
    }

    /// The sum of two that are rectangular: a trapezoid (JCGM 101:2008, 6.4.4.1).
    pub fn sum_of_rectangular(a: f64, b: f64) -> Self {
        let base = a + b;
        if a <= 0.0 || b <= 0.0 {
            Self::Rectangular { half_width: base }
        } else {
            Self::Trapezoid {
                half_width: base,
                top: (a - b).abs() / base,
            }
        }
    }

    /// Largest distance of a draw from the estimate: infinite for normal and Student's t.
    pub fn reach(self) -> f64 {
        match self {
            Self::Normal { .. } | Self::StudentT { .. } => {
                if 0.0 < self.standard() {
                    f64::INFINITY
                } else {
                    0.0
                }
            }
            Self::Rectangular { half_width }
            | Self::Triangular { half_width }
            | Self::Trapezoid { half_width, .. }
            | Self::Arcsine { half_width } => half_width.abs(),
            Self::CurvilinearTrapezoid {
                half_width,
                inexactness,
            } => half_width.abs() + inexactness.abs(),
        }
    }

    /// Fills `out` with draws, by the recipes of JCGM 101:2008, 6.4.
    pub fn draw(self, generator: &mut Generator, out: &mut [f64]) {
        self.draw_each(generator, out, |slot, drawn| *slot = drawn);
    }

    /// Draws as [`draw`](Self::draw) does, and hands each with its slot of `out` to `put`.
    #[inline]
    pub fn draw_each(
        self,
        generator: &mut Generator,
        out: &mut [f64],
        put: impl Fn(&mut f64, f64),
    ) {
        match self {
            Self::StudentT {
                scale,
                degrees_of_freedom,
            } if 0.0 < degrees_of_freedom => {
                for slot in out {
                    put(slot, scale * generator.student_t(degrees_of_freedom));
                }
            }
            // With no degrees of freedom nothing is known but the figure.
            Self::Normal { standard: scale } | Self::StudentT { scale, .. } => {
                for slot in out {
                    put(slot, scale * generator.standard_normal());
                }
            }
            Self::Rectangular { half_width } => {
                for slot in out {
                    put(slot, half_width * generator.about_zero());
                }
            }
            Self::Triangular { half_width } => {
                for slot in out {
                    let both = generator.about_zero() + generator.about_zero();
                    put(slot, half_width * 0.5 * both);
                }
            }
            Self::Trapezoid { half_width, top } => {
                let (wide, narrow) = (
                    half_width * (1.0 + top) / 2.0,
                    half_width * (1.0 - top) / 2.0,
                );
                for slot in out {
                    let drawn = wide * generator.about_zero() + narrow * generator.about_zero();
                    put(slot, drawn);
                }
            }
            Self::CurvilinearTrapezoid {
                half_width,
                inexactness,
            } => {
                for slot in out {
                    let end = half_width + inexactness * generator.about_zero();
                    put(slot, end * generator.about_zero());
                }
            }
            Self::Arcsine { half_width } => {
                for slot in out {
                    put(slot, half_width * sin(TAU * generator.zero_to_one()));
                }
            }
        }
    }
}

#[cfg(all(test, feature = "monte-carlo"))]
mod tests;
