namespace StageView.Show.Takeover;

/// <summary>Somebody who sends levels: a host, and where several names come from one host, a name of it.</summary>
/// <param name="Host">Where it sends from, without the port.</param>
/// <param name="Name">Its source name in sACN; empty for one that sends Art-Net alone.</param>
public sealed record Desk(string Host, string Name)
{
    /// <summary>Packets with levels.</summary>
    public long Packets { get; internal set; }

    /// <summary>Universes it sends.</summary>
    public IReadOnlyList<int> Universes => [.. Sent];

    /// <summary>First and last packet, s of the capture.</summary>
    public double From { get; internal set; }

    public double To { get; internal set; }

    /// <summary>Mean priority of its packets, 0 to 200; Art-Net counts as 100.</summary>
    public double Priority => Packets > 0 ? Priorities / (double)Packets : 0;

    /// <summary>What a reader calls it.</summary>
    public string Label => Name.Length > 0 ? $"'{Name}' at {Host}" : $"Art-Net {Host}";

    internal SortedSet<int> Sent { get; } = [];

    internal long Priorities { get; set; }

    /// <summary>Whether a word names it: its source name, its address, or both as it is listed.</summary>
    public bool IsCalled(string word) =>
        string.Equals(word, Name, StringComparison.OrdinalIgnoreCase) || word == Host || string.Equals(word, Label, StringComparison.OrdinalIgnoreCase);
}
