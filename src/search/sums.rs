//! Sums that some numbers can come to, a bit each in words of 64: which there are, and the greatest of them. What fills a
//! stick and what tops an order up are both looked up so.

/// Whether a sum is there.
pub(crate) fn has(sums: &[u64], sum: u64) -> bool {
    let word = usize::try_from(sum / 64).ok().and_then(|word| sums.get(word));
    word.is_some_and(|word| word >> (sum % 64) & 1 == 1)
}

/// The greatest sum that is at most so much; zero where there is none.
pub(crate) fn greatest(sums: &[u64], most: u64) -> u64 {
    let found = (0_u64..).zip(sums).take_while(|(at, _)| *at <= most / 64).filter_map(|(at, word)| {
        let within = if at == most / 64 { u64::MAX >> (63 - most % 64) } else { u64::MAX };
        (word & within != 0).then(|| at * 64 + u64::from((word & within).ilog2()))
    });
    found.last().unwrap_or(0)
}

/// Adds to some sums all others with so much more, as far as there is room for them.
pub(crate) fn or_more(sums: &mut [u64], others: &[u64], more: u64) {
    let (skip, bits) = (usize::try_from(more / 64).unwrap_or(usize::MAX), more % 64);
    let Some(sums) = sums.get_mut(skip..).filter(|sums| !sums.is_empty()) else { return };
    if bits == 0 {
        sums.iter_mut().zip(others).for_each(|(sum, other)| *sum |= other);
        return;
    }
    sums[0] |= others[0] << bits;
    for (sum, pair) in sums[1..].iter_mut().zip(others.windows(2)) {
        *sum |= pair[1] << bits | pair[0] >> (64 - bits);
    }
}
