//! Which nodes a supply reaches through what is open.
//!
//! In: the compiled network and which links let water pass. Out: a mark for every node. Start at [`Reach::spread`].
//! A link that closes by itself feeds from its first end to its second only. Knows no pressure.

use super::kernel::{Gate, Kernel, narrow};

/// Neighbors of every place, in one array.
#[derive(Debug, Clone)]
pub(super) struct Reach {
    starts: Vec<u32>,
    /// Place at the other end, and the link between.
    next: Vec<(u32, u32)>,
    queue: Vec<u32>,
}

impl Reach {
    pub(super) fn new(kernel: &Kernel) -> Self {
        let places = kernel.unknown + kernel.known_pressure_pa.len();
        let mut forward_only = vec![false; kernel.laws.len()];
        let mut none = vec![false; kernel.laws.len()];
        for gate in &kernel.gates {
            match *gate {
                Gate::OneWay { link } => forward_only[link as usize] = true,
                Gate::Regulator { work, open } => {
                    none[work as usize] = true;
                    forward_only[open as usize] = true;
                }
                Gate::Mixer { hot, cold, .. } => {
                    forward_only[hot as usize] = true;
                    forward_only[cold as usize] = true;
                }
            }
        }
        let mut pairs = Vec::with_capacity(2 * kernel.laws.len());
        for (link, ends) in kernel.ends.iter().enumerate() {
            if !none[link] {
                pairs.push((ends.from, ends.to, narrow(link)));
                if !forward_only[link] {
                    pairs.push((ends.to, ends.from, narrow(link)));
                }
            }
        }
        pairs.sort_unstable();
        let mut starts = vec![0; places + 1];
        for (from, _, _) in &pairs {
            starts[*from as usize + 1] += 1;
        }
        for place in 0..places {
            starts[place + 1] += starts[place];
        }
        Self {
            starts,
            next: pairs.into_iter().map(|(_, to, link)| (to, link)).collect(),
            queue: Vec::with_capacity(places),
        }
    }

    /// Marks what the supplies reach through links that pass.
    pub(super) fn spread(&mut self, supplies: &[u32], passes: &[bool], fed: &mut [bool]) {
        fed.fill(false);
        self.queue.clear();
        for supply in supplies {
            fed[*supply as usize] = true;
            self.queue.push(*supply);
        }
        while let Some(place) = self.queue.pop() {
            let place = place as usize;
            for (other, link) in &self.next[self.starts[place] as usize..self.starts[place + 1] as usize] {
                if passes[*link as usize] && !fed[*other as usize] {
                    fed[*other as usize] = true;
                    self.queue.push(*other);
                }
            }
        }
    }
}
