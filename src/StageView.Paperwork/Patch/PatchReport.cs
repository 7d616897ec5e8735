namespace StageView.Paperwork.Patch;

/// <summary>What the patch of a rig amounts to, and what is doubtful about it.</summary>
public sealed record PatchReport
{
    public required IReadOnlyList<PatchUniverse> Universes { get; init; }

    public required IReadOnlyList<PatchFinding> Findings { get; init; }

    /// <summary>Attributes of all patched fixtures, pixels' colours included.</summary>
    public required int Attributes { get; init; }

    /// <summary>What the scene file says the console can run, or null.</summary>
    public required int? ConsoleAttributes { get; init; }

    public required IReadOnlyList<ModeSaving> Savings { get; init; }
}

/// <param name="Universe">Its number.</param>
/// <param name="Used">Addresses in use.</param>
/// <param name="Attributes">Attributes that start in it.</param>
/// <param name="Positions">Hanging positions with fixtures in it.</param>
/// <param name="FedBy">Nodes that can feed it.</param>
/// <param name="Stretches">Fixtures by address.</param>
/// <param name="Free">Runs of free addresses.</param>
public sealed record PatchUniverse(
    int Universe,
    int Used,
    int Attributes,
    IReadOnlyList<string> Positions,
    IReadOnlyList<string> FedBy,
    IReadOnlyList<PatchStretch> Stretches,
    IReadOnlyList<FreeRun> Free);

/// <param name="From">First address, 1 to 512.</param>
/// <param name="To">Last address.</param>
public sealed record PatchStretch(int From, int To, string Fixture, string Number, string Profile, string Mode);

public sealed record FreeRun(int From, int To)
{
    public int Count => To - From + 1;
}

/// <param name="Kind">gap, unfed, split, capacity, number, unpatched, order.</param>
/// <param name="Place">universe.address, a fixture or a node.</param>
/// <param name="Text">What is doubtful and what to do.</param>
public sealed record PatchFinding(string Kind, string Place, string Text);

/// <summary>What another mode of a fixture type would save.</summary>
/// <param name="AddressesSaved">Over all its fixtures; below zero it costs.</param>
/// <param name="Loses">Attributes that the other mode lacks.</param>
public sealed record ModeSaving(string Profile, string Mode, string OtherMode, int Fixtures, int AddressesSaved, IReadOnlyList<string> Loses);
