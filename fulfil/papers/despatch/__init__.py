"""Papers of a despatch: what lies in a package, what is stuck on it, what customs and the carrier get.

**What lives here.** The packing list, the package label and the logistic label, the customs declarations CN 22 (a
label) and CN 23 (a page) with what they share (:mod:`~fulfil.papers.despatch.customs`), the commercial invoice, and the
manifest that both sides sign.

**What may be imported.** The rest of :mod:`fulfil.papers`, records, quantities, the standards whose particulars they
carry (:mod:`fulfil.standards.cn22`, :mod:`~fulfil.standards.gs1`, :mod:`~fulfil.standards.iso4217`).

**Where to start.** :mod:`~fulfil.papers.despatch.manifest`. A manifest that was closed is printed from its kept copy,
so its sheet's fields are a promise to old papers.
"""
