namespace StageView.Rig.Archives;

/// <summary>What files that nobody vouches for may come to: shared by an archive and those within it, and by all profiles of a rig.</summary>
internal sealed class ArchiveBudget
{
    public const int MaxEntries = 4096;
    public const int MaxEntryBytes = 64 << 20;

    /// <summary>Elements and attributes of all XML.</summary>
    public const int MaxXml = 2_000_000;

    /// <summary>Geometries of all modes: a large file of pixel fixtures has some ten thousand.</summary>
    public const int MaxNodes = 200_000;

    public const int MaxChannels = 200_000;

    /// <summary>Functions and sets of all channels.</summary>
    public const int MaxFunctions = 300_000;

    /// <summary>Instances that a link of a GDTF file may mean, over all links.</summary>
    public const int MaxLinks = 30_000_000;

    /// <summary>Pixels of all pictures that are unpacked.</summary>
    public const long MaxPixels = 350_000_000;

    /// <summary>Bytes of all gobos' pictures as they are kept.</summary>
    public const long MaxGoboBytes = 256L << 20;

    /// <summary>Triangles of all models.</summary>
    public const int MaxTriangles = 2_000_000;

    public const string TooManyXml = "with this file the archives hold more than 2000000 XML elements and attributes, which is the most that is read";
    public const string TooManyNodes = "with this the profiles' modes come to more than 200000 geometries, which is the most that is read";
    public const string TooManyChannels = "with this the profiles' modes come to more than 200000 channels, which is the most that is read";
    public const string TooManyFunctions = "with this the profiles' modes come to more than 300000 functions and sets, which is the most that is read";
    public const string TooManyLinks = "with this the links between channels mean more than 30000000 instances, which is the most that is followed";
    public const string TooManyTriangles = "with this the models come to more than 2000000 triangles, which is the most that is read";

    private long _pixels, _gobos;
    private int _xml, _nodes, _channels, _functions, _links, _triangles;

    /// <summary>Bytes left.</summary>
    public long Left { get; set; } = 512L << 20;

    /// <summary>Geometries made so far.</summary>
    public int NodesMade => _nodes;

    public bool Xml(int more) => (_xml += more) <= MaxXml;

    public bool Nodes(int more) => (_nodes += more) <= MaxNodes;

    public bool Channels(int more) => (_channels += more) <= MaxChannels;

    public bool Functions(int more) => (_functions += more) <= MaxFunctions;

    public bool Links(int more) => (_links += more) <= MaxLinks;

    /// <summary>Whether one of the bounds on modes was met: nothing more of them needs to be read.</summary>
    public bool IsSpent => _nodes > MaxNodes || _channels > MaxChannels || _functions > MaxFunctions || _links > MaxLinks || _xml > MaxXml;

    public bool Pixels(long more) => (_pixels += more) <= MaxPixels;

    public bool Gobos(long bytes) => (_gobos += bytes) <= MaxGoboBytes;

    /// <summary>Whether no further triangle is kept.</summary>
    public bool IsFullOfTriangles => _triangles > MaxTriangles;

    public bool Triangles(int more) => (_triangles += more) <= MaxTriangles;
}
