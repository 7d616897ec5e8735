using StageView.Wire.Datagrams;

namespace StageView.Wire.Levels;

/// <summary>One E1.31 sender, known by its CID, whatever universes it sends.</summary>
internal sealed class Sender(Cid cid)
{
    public const int MostDiscovered = 4096;

    private readonly byte[] _name = new byte[64];
    private int _nameLength;

    public Cid Cid { get; } = cid;

    public string Name { get; private set; } = "";

    public SourceAddress Address { get; set; }

    public TimeSpan LastSeen { get; set; }

    /// <summary>Universes it says it sends, from its last complete discovery; null before the first.</summary>
    public ushort[]? Discovered { get; set; }

    /// <summary>Pages of the discovery that is arriving.</summary>
    public List<ushort> Arriving { get; } = [];

    public int NextPage { get; set; }

    public TimeSpan DiscoveredAt { get; set; }

    public void SetName(ReadOnlySpan<byte> utf8)
    {
        if (utf8.SequenceEqual(_name.AsSpan(0, _nameLength)))
        {
            return;
        }

        utf8.CopyTo(_name);
        _nameLength = utf8.Length;
        Name = PlainText.From(utf8);
    }
}
