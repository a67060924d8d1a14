//! A linear program with few rows and a growing number of columns: the revised simplex method with a dense
//! inverse. It works in floats, and so it only ever proposes: nothing that it says is taken as proven. Plain
//! sums and products of `f64`, so that every machine gets the same. Called by `columns` alone.
#![allow(clippy::float_arithmetic)]

use crate::search::effort::Effort;

/// A column: what it costs, and its entries by row.
#[derive(Debug, Clone)]
pub(super) struct Column {
    pub(super) cost: f64,
    pub(super) entries: Vec<(usize, f64)>,
}

/// Least cost with all rows equal to their right sides and no negative value.
#[derive(Debug)]
pub(super) struct Simplex {
    rows: usize,
    right: Vec<f64>,
    columns: Vec<Column>,
    /// How long a column is: what it gains is measured by that, lest long ones be taken first.
    sizes: Vec<f64>,
    /// The column that stands in each row, and its value.
    basis: Vec<usize>,
    values: Vec<f64>,
    /// The inverse of the basis, column after column.
    inverse: Vec<f64>,
    duals: Vec<f64>,
}

const SMALLEST_PIVOT: f64 = 1e-9;
const SMALLEST_GAIN: f64 = 1e-9;
const LARGEST_ERROR: f64 = 1e-7;

impl Simplex {
    /// Begins with one unit column a row, of these costs; right sides are not negative.
    pub(super) fn new(right: Vec<f64>, unit_costs: Vec<f64>) -> Self {
        let rows = right.len();
        let columns = unit_costs.iter().enumerate();
        let columns = columns.map(|(row, &cost)| Column { cost, entries: vec![(row, 1.0)] }).collect();
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        let values = right.clone();
        let sizes = vec![2.0_f64.sqrt(); rows];
        Simplex {
            rows,
            right,
            columns,
            sizes,
            basis: (0..rows).collect(),
            values,
            inverse,
            duals: unit_costs,
        }
    }

    /// Adds a column and gives its number.
    pub(super) fn add(&mut self, column: Column) -> usize {
        let square: f64 = column.entries.iter().map(|&(_, entry)| entry * entry).sum();
        self.sizes.push((1.0 + square).sqrt());
        self.columns.push(column);
        self.columns.len() - 1
    }

    /// The price of each row at the last optimum.
    pub(super) fn duals(&self) -> &[f64] {
        &self.duals
    }

    /// What a column would cost beyond what its entries are worth.
    pub(super) fn gain(&self, column: &Column) -> f64 {
        column.entries.iter().fold(column.cost, |gain, &(row, entry)| gain - self.duals[row] * entry)
    }

    /// The columns in use, and their values.
    pub(super) fn values(&self) -> impl Iterator<Item = (usize, f64)> {
        self.basis.iter().copied().zip(self.values.iter().copied())
    }

    /// Goes to the optimum. False if the steps or the exactness of floats did not suffice.
    pub(super) fn optimise(&mut self, effort: &mut Effort) -> bool {
        for _ in 0..4 {
            if !self.walk(effort) {
                return false;
            }
            if self.error() < LARGEST_ERROR {
                return true;
            }
            if !effort.spend((self.rows * self.rows) as u64 * self.rows as u64) || !self.invert() {
                return false;
            }
        }
        false
    }

    fn walk(&mut self, effort: &mut Effort) -> bool {
        for _ in 0..200 + 60 * self.rows {
            let Some((column, gain)) = self.best_gain(effort) else { return true };
            let step = self.through_inverse(column);
            let Some(row) = self.leaving(&step) else { return false };
            let work = self.pivot(row, column, &step, gain);
            if !effort.spend(work) {
                return false;
            }
        }
        false
    }

    fn best_gain(&self, effort: &mut Effort) -> Option<(usize, f64)> {
        let (mut best, mut most) = (None, 0.0);
        let mut steps = 0;
        for (number, (column, size)) in self.columns.iter().zip(&self.sizes).enumerate() {
            steps += 1 + column.entries.len() as u64;
            let gain = self.gain(column);
            if gain < -SMALLEST_GAIN && gain / size < most {
                (best, most) = (Some((number, gain)), gain / size);
            }
        }
        effort.spend(steps);
        best
    }

    fn through_inverse(&self, column: usize) -> Vec<f64> {
        let mut step = vec![0.0; self.rows];
        for &(row, entry) in &self.columns[column].entries {
            let inverse = &self.inverse[row * self.rows..(row + 1) * self.rows];
            for (s, i) in step.iter_mut().zip(inverse) {
                *s += entry * i;
            }
        }
        step
    }

    /// The row that reaches zero first; of several, the one with the largest pivot, then the first.
    fn leaving(&self, step: &[f64]) -> Option<usize> {
        let mut best: Option<(usize, f64)> = None;
        for (row, &s) in step.iter().enumerate().filter(|&(_, &s)| s > SMALLEST_PIVOT) {
            let ratio = self.values[row].max(0.0) / s;
            let better = best.is_none_or(|(other, least)| {
                ratio < least - 1e-12 || (ratio <= least + 1e-12 && s > step[other])
            });
            if better {
                best = Some((row, ratio));
            }
        }
        best.map(|(row, _)| row)
    }

    fn pivot(&mut self, row: usize, column: usize, step: &[f64], gain: f64) -> u64 {
        let rows = self.rows;
        let by = step[row];
        let moved = self.values[row].max(0.0) / by;
        for (value, s) in self.values.iter_mut().zip(step) {
            *value -= moved * s;
        }
        self.values[row] = moved;
        let mut work = rows as u64 * 2;
        for (j, part) in self.inverse.chunks_exact_mut(rows).enumerate() {
            let factor = part[row] / by;
            if factor == 0.0 {
                continue;
            }
            self.duals[j] += gain * factor;
            for (p, s) in part.iter_mut().zip(step) {
                *p -= factor * s;
            }
            part[row] = factor;
            work += rows as u64 / 2;
        }
        self.basis[row] = column;
        work
    }

    /// How far the rows are from their right sides.
    fn error(&self) -> f64 {
        let mut sums = self.right.clone();
        for (&column, &value) in self.basis.iter().zip(&self.values) {
            for &(row, entry) in &self.columns[column].entries {
                sums[row] -= entry * value;
            }
        }
        sums.iter().fold(0.0, |most: f64, sum| most.max(sum.abs()))
    }

    /// Makes the inverse, the values and the prices of the rows anew from the basis.
    fn invert(&mut self) -> bool {
        let rows = self.rows;
        let mut inverse = vec![0.0; rows * rows];
        for row in 0..rows {
            inverse[row * rows + row] = 1.0;
        }
        self.inverse = inverse;
        let mut free: Vec<bool> = vec![true; rows];
        let mut basis = vec![0; rows];
        for column in self.basis.clone() {
            let step = self.through_inverse(column);
            let candidates = (0..rows).filter(|&row| free[row]);
            let Some(row) = candidates.max_by(|&a, &b| step[a].abs().total_cmp(&step[b].abs())) else {
                return false;
            };
            if step[row].abs() < SMALLEST_PIVOT {
                return false;
            }
            for part in self.inverse.chunks_exact_mut(rows) {
                let factor = part[row] / step[row];
                if factor != 0.0 {
                    for (p, s) in part.iter_mut().zip(&step) {
                        *p -= factor * s;
                    }
                    part[row] = factor;
                }
            }
            free[row] = false;
            basis[row] = column;
        }
        self.basis = basis;
        let (mut values, mut duals) = (vec![0.0; rows], vec![0.0; rows]);
        for (j, part) in self.inverse.chunks_exact(rows).enumerate() {
            for (row, p) in part.iter().enumerate() {
                values[row] += p * self.right[j];
                duals[j] += p * self.columns[self.basis[row]].cost;
            }
        }
        (self.values, self.duals) = (values, duals);
        true
    }
}
