//! What so much length costs at least: sets of sticks of which no other is as long and as cheap, the shortest first.
//! A bound for `walking`, which asks `board`: every plan buys at least the length that it cuts.

/// Sets kept at most; beyond it two become one, which is as long as the longer and as cheap as the cheaper.
const MOST_SETS: usize = 1_500;
/// Sets looked at beyond which nothing is said: so many sticks are no small order.
const MOST_LOOKED_AT: u64 = 200_000;

/// Lengths and prices, both rising.
#[derive(Debug)]
pub(super) struct Stairs {
    steps: Vec<(u64, u64)>,
    /// Sets that were looked at to make it.
    looked_at: u64,
}

impl Stairs {
    /// For sticks of these lengths, prices and numbers, up to a length, and up to a price: what costs more has none.
    pub(super) fn new(sticks: &[(u64, u64, u64)], up_to: u64, most_cost: u64) -> Self {
        let mut steps: Vec<(u64, u64)> = vec![(0, 0)];
        let mut looked_at = 0;
        for &(length, price, most) in sticks.iter().filter(|stick| stick.0 > 0) {
            let mut next = Vec::new();
            for &(long, cost) in &steps {
                for number in 0..=most {
                    let reach = long.saturating_add(length.saturating_mul(number));
                    let cost = cost.saturating_add(price.saturating_mul(number));
                    if cost > most_cost {
                        break;
                    }
                    next.push((reach, cost));
                    looked_at += 1;
                    if looked_at > MOST_LOOKED_AT {
                        return Stairs { steps: vec![(u64::MAX, 0)], looked_at };
                    }
                    if reach >= up_to {
                        break;
                    }
                }
            }
            // From the longest on, what costs less than all that are longer.
            next.sort_unstable_by_key(|&(length, cost)| (std::cmp::Reverse(length), cost));
            let mut least = u64::MAX;
            next.retain(|&(_, cost)| {
                let is_less = cost < least;
                least = least.min(cost);
                is_less
            });
            next.reverse();
            steps = next;
            if steps.len() > MOST_SETS {
                steps = steps.chunks(2).map(|two| (two[two.len() - 1].0, two[0].1)).collect();
            }
        }
        Stairs { steps, looked_at }
    }

    /// How many sets were looked at to make it.
    pub(super) fn looked_at(&self) -> u64 {
        self.looked_at
    }

    /// The least price of sticks so long together; nothing if there are not so many at such a price.
    pub(super) fn price(&self, length: u64) -> Option<u64> {
        let at = self.steps.partition_point(|&(reach, _)| reach < length);
        self.steps.get(at).map(|&(_, price)| price)
    }
}
