namespace StageView.Live.Terms;

/// <summary>Several fixtures together, as of now.</summary>
/// <param name="Fixtures">One a fixture, in the rig's order.</param>
/// <param name="Attributes">What they have in common or apart, one an attribute, as they come in the fixtures.</param>
/// <param name="Low">The lowest coordinates of where they hang, m.</param>
/// <param name="High">The highest, m.</param>
/// <param name="Lumens">Of all, lm.</param>
/// <param name="ColourSpread">The farthest that two lit colours lie apart in u', v' of CIE 1976; 0 for one colour, null when none is lit.</param>
internal sealed record SeveralCard(
    IReadOnlyList<SeveralFixture> Fixtures, IReadOnlyList<SeveralAttribute> Attributes, float[] Low, float[] High, double Lumens, double? ColourSpread);

/// <param name="At">Where its first emitter is, m.</param>
/// <param name="Lumens">What leaves it, lm; 0 when it is dark.</param>
/// <param name="Colour">Of the emitter that gives most, as <c>#rrggbb</c> (sRGB) at its brightest; null when it is dark.</param>
/// <param name="Xy">CIE 1931 x and y of the same; null when it is dark.</param>
internal sealed record SeveralFixture(string Name, float[] At, double Lumens, string? Colour, float[]? Xy);

/// <param name="Fixtures">How many of the fixtures have it now.</param>
/// <param name="Low">The lowest level, as a share of its channel's range, 0 to 1.</param>
/// <param name="High">The highest.</param>
/// <param name="From">What the lowest means, with its unit.</param>
/// <param name="To">What the highest means.</param>
/// <param name="AsIf">Whether one of them is looked at as if.</param>
internal sealed record SeveralAttribute(string Name, int Fixtures, double Low, double High, string From, string To, bool AsIf);
