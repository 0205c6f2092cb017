//! Texts for tables too long to be typed, the same on each run.

/// A linear congruential generator (constants from memory); its upper bits are good enough for texts.
pub struct Generator(u64);

impl Generator {
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number below a limit.
    pub fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }

    /// One character of these.
    pub fn one_of(&mut self, characters: &str) -> char {
        let at = self.below(characters.len() as u64);
        characters.chars().nth(usize::try_from(at).unwrap()).unwrap()
    }

    /// So many of these characters.
    pub fn run_of(&mut self, characters: &str, length: u64) -> String {
        (0..length).map(|_| self.one_of(characters)).collect()
    }

    /// One to so many of these characters.
    pub fn run_up_to(&mut self, characters: &str, most: u64) -> String {
        let length = self.between(1, most);
        self.run_of(characters, length)
    }

    /// A number from the first to the last.
    pub fn between(&mut self, first: u64, last: u64) -> u64 {
        first + self.below(last - first + 1)
    }
}
