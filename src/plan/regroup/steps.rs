//! How much may still be searched, counted in steps rather than seconds: the same question has the same answer on any
//! machine.

/// Steps that are left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Steps(u64);

impl Steps {
    pub fn new(steps: u64) -> Self {
        Self(steps)
    }

    /// Takes some steps; not when too few are left, and then none are left.
    pub fn spend(&mut self, steps: usize) -> bool {
        let left = self.0.checked_sub(steps as u64);
        self.0 = left.unwrap_or_default();
        left.is_some()
    }

    /// Lets a search have a part of what is left, and takes back what it didn't need.
    pub fn lend<T>(&mut self, percent: u64, search: impl FnOnce(&mut Self) -> T) -> T {
        let mut lent = Self(self.0 / 100 * percent);
        self.0 -= lent.0;
        let found = search(&mut lent);
        self.0 += lent.0;
        found
    }

    pub fn is_over(self) -> bool {
        self.0 == 0
    }
}
