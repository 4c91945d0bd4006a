//! Chance that is the same everywhere, and check sums.
//!
//! Contract: the same seed gives the same draws on every machine, for all arithmetic is on whole
//! numbers of 64 bits that wrap. There is no clock and no other source of chance.
//!
//! The generator is SplitMix64 (Guy L. Steele Jr., Doug Lea and Christine H. Flood, *Fast splittable
//! pseudorandom number generators*, OOPSLA 2014; constants from memory, checked against the reference
//! outputs for the seed 1234567, from memory too). The check sum is FNV-1a of 64 bits (Glenn Fowler,
//! Landon Curt Noll, Kiem-Phong Vo and Donald Eastlake, *The FNV Non-Cryptographic Hash Algorithm*,
//! Internet draft; from memory). It shows slips; it does not keep anyone from meaning harm.

/// A stream of draws.
#[derive(Clone, Debug)]
pub(crate) struct Draw(u64);

impl Draw {
    pub(crate) fn new(seed: u64) -> Draw {
        Draw(seed)
    }

    /// A stream of its own for one thing of many.
    pub(crate) fn for_number(seed: u64, number: u64) -> Draw {
        let mut first = Draw(seed);
        let own = first.word() ^ number.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        Draw(Draw(own).word())
    }

    pub(crate) fn word(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// A number below `most`, each equally likely; 0 where `most` is 0.
    pub(crate) fn below(&mut self, most: usize) -> usize {
        let most = most as u64;
        if most < 2 {
            return 0;
        }
        // What lies above the last whole multiple would favour small numbers.
        let whole = u64::MAX - u64::MAX % most;
        loop {
            let word = self.word();
            if word < whole {
                return usize::try_from(word % most).unwrap_or(0);
            }
        }
    }

    /// Puts things into an order in which each is equally likely (R. A. Fisher and F. Yates).
    pub(crate) fn shuffle<T>(&mut self, things: &mut [T]) {
        for last in (1..things.len()).rev() {
            things.swap(last, self.below(last + 1));
        }
    }
}

/// The check sum of nothing.
pub(crate) const EMPTY: u64 = 0xCBF2_9CE4_8422_2325;

/// The check sum after one more text; a text ends with a byte that no text holds.
pub(crate) fn sum(before: u64, text: &str) -> u64 {
    let bytes = text.bytes().chain([0xFF]);
    bytes.fold(before, |sum, byte| {
        (sum ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01B3)
    })
}

/// A check sum as it is written.
pub(crate) fn written(sum: u64) -> String {
    format!("{sum:016x}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reference outputs of SplitMix64 for the seed 1234567 (from memory, as widely reprinted).
    #[test]
    fn the_generator_gives_its_reference_outputs() {
        let mut draw = Draw::new(1_234_567);
        let words = [draw.word(), draw.word(), draw.word()];
        let reference = [
            6_457_827_717_110_365_317,
            3_203_168_211_198_807_973,
            9_817_491_932_198_370_423,
        ];
        assert_eq!(words, reference);
    }

    #[test]
    fn draws_stay_below_and_orders_keep_everything() {
        let mut draw = Draw::new(7);
        let mut seen = [0; 5];
        for _ in 0..1000 {
            seen[draw.below(5)] += 1;
        }
        assert!(
            seen.iter().all(|count| (140..=260).contains(count)),
            "{seen:?}"
        );
        let mut things: Vec<u8> = (0..20).collect();
        draw.shuffle(&mut things);
        assert_ne!(things, (0..20).collect::<Vec<u8>>());
        things.sort_unstable();
        assert_eq!(things, (0..20).collect::<Vec<u8>>());
    }

    /// FNV-1a of 64 bits: of nothing the offset, of `a` 0xaf63dc4c8601ec8c (from memory).
    #[test]
    fn the_check_sum_is_the_known_one() {
        assert_eq!(
            (EMPTY ^ 0x61).wrapping_mul(0x0000_0100_0000_01B3),
            0xAF63_DC4C_8601_EC8C
        );
        assert_ne!(sum(EMPTY, "ab"), sum(sum(EMPTY, "a"), "b"));
    }
}
