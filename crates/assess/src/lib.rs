//! Job in, assessment out: the only place where job, engines and rules meet.
