//! The ziggurat of the normal distribution: layers of equal area, so that most draws take one look at a table.
//!
//! G. Marsaglia and W. W. Tsang, "The ziggurat method for generating random variables", Journal of Statistical Software 5, 2000;
//! with the one number split into layer and place as J. A. Doornik asks for (2005): no bit of it serves both. Both from memory. It
//! is worked out here, and not taken from a library, because those use the platform's exponential and logarithm.

use std::sync::OnceLock;

use rand_core::Rng as _;

use super::Generator;
use crate::elementary::{erfc, exp, ln};

/// The number of layers.
const LAYERS: usize = 256;

/// End of the lowest layer, where the tail begins: with it the area of the topmost layer comes out like the others'. Marsaglia
/// and Tsang, for 256 layers, from memory; a test holds it against the area.
const TAIL: f64 = 3.654_152_885_361_009;

/// Layers of equal area under the normal density `exp(−x²/2)`, from the lowest, which holds the tail, to the topmost.
#[derive(Debug)]
pub(super) struct Ziggurat {
    layers: [Layer; LAYERS],
}

/// One layer: a rectangle from the axis to `outer`, of which all up to `inner` lies under the density.
#[derive(Clone, Copy, Debug, Default)]
struct Layer {
    outer: f64,
    inner: f64,
    /// The density at `outer`, where the layer begins,
    bottom: f64,
    /// and at `inner`, where it ends.
    top: f64,
}

/// The density, but for the factor that makes its area one.
fn density(x: f64) -> f64 {
    exp(-x * x / 2.0)
}

impl Ziggurat {
    /// The table, worked out once.
    pub(super) fn of_normal() -> &'static Self {
        static TABLE: OnceLock<Ziggurat> = OnceLock::new();
        TABLE.get_or_init(|| {
            let area = area();
            let mut layers = [Layer::default(); LAYERS];
            // The lowest is as wide as a rectangle of its height and area would be; what lies beyond `TAIL` stands for the tail.
            let mut outer = area / density(TAIL);
            let mut inner = TAIL;
            for layer in &mut layers {
                *layer = Layer {
                    outer,
                    inner,
                    bottom: density(outer),
                    top: density(inner),
                };
                outer = inner;
                inner = (-2.0 * ln((area / outer + density(outer)).min(1.0))).sqrt();
            }
            if let Some(topmost) = layers.last_mut() {
                (topmost.inner, topmost.top) = (0.0, 1.0);
            }
            Self { layers }
        })
    }

    /// A standard normal number.
    #[inline]
    pub(super) fn draw(&self, generator: &mut Generator) -> f64 {
        /// The lowest eight bits choose the layer.
        const LAYER_BITS: u64 = 0xff;
        loop {
            let bits = generator.source.next_u64();
            let layer = usize::try_from(bits & LAYER_BITS).unwrap_or_default();
            let Some(layer) = self.layers.get(layer) else {
                continue;
            };
            // The upper 52 as the fraction of a number from 2 to 4, less 3.
            let place = f64::from_bits(0x4000_0000_0000_0000 | (bits >> 12)) - 3.0;
            let x = place * layer.outer;
            if x.abs() < layer.inner {
                return x;
            }
            if layer.inner == TAIL {
                return tail(generator).copysign(place);
            }
            let height = layer.bottom + (layer.top - layer.bottom) * generator.zero_to_one();
            if height < density(x) {
                return x;
            }
        }
    }
}

/// The area of a layer: of the lowest, a rectangle up to [`TAIL`] and the tail.
fn area() -> f64 {
    let tail = (std::f64::consts::FRAC_PI_2).sqrt() * erfc(TAIL * std::f64::consts::FRAC_1_SQRT_2);
    TAIL * density(TAIL) + tail
}

/// A number from the tail: G. Marsaglia's, "Generating a variable from the tail of the normal distribution", Technometrics 6,
/// 1964, from memory.
#[cold]
fn tail(generator: &mut Generator) -> f64 {
    loop {
        let x = generator.exponential() / TAIL;
        if x * x < 2.0 * generator.exponential() {
            return TAIL + x;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn all_layers_have_the_same_area_and_reach_the_top() {
        let layers = &Ziggurat::of_normal().layers;
        for layer in &layers[1..] {
            let of_layer = layer.outer * (layer.top - layer.bottom);
            assert!((of_layer / area() - 1.0).abs() < 1e-9, "{layer:?}");
            assert!(layer.inner < layer.outer);
        }
        assert_eq!(layers[LAYERS - 1].top, 1.0);
    }
}
