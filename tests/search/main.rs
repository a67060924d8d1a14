//! The solvers by themselves, which know nothing of plumbing: packs and suppliers against trying everything. Those of cut
//! plans are judged in `tests/cutting`.

#![allow(clippy::unwrap_used, reason = "a test fails by it")]

mod packs;
mod suppliers;

/// Numbers that look drawn by lot and are the same on every machine.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }
}
