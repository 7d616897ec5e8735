namespace StageView.Wire.Tallies;

/// <summary>One E1.31 sender and what it says it sends.</summary>
/// <param name="Name">Fit to print.</param>
/// <param name="Cid">Its identifier.</param>
/// <param name="Address">Where its last packet came from.</param>
/// <param name="Offers">Universes of its last universe discovery; null when it never sent one.</param>
/// <param name="SecondsSinceOffers">Since then, s.</param>
public sealed record SenderHealth(string Name, string Cid, string Address, IReadOnlyList<int>? Offers, double? SecondsSinceOffers = null);
