namespace StageView.Wire.Exchange;

/// <summary>Numbers of MVR-xchange (DIN SPEC 15801, communication format), and the bounds on what a stranger may send.</summary>
public static class ExchangeNumbers
{
    /// <summary>Service and protocol by which stations find each other.</summary>
    public const string Service = "_mvrxchange._tcp";

    /// <summary>First field of each packet.</summary>
    public const uint Header = 778682;

    public const uint Version = 1;

    /// <summary>Bytes before the payload: five fields of four, one of eight.</summary>
    public const int HeaderLength = 28;

    /// <summary>The file format's version that commits of ours have.</summary>
    public const int VersionMajor = 1;

    public const int VersionMinor = 6;

    /// <summary>Bytes of a message in JSON, over all its packets.</summary>
    public const int MostJsonBytes = 1 << 20;

    /// <summary>Levels of JSON: a message holds a list of commits with lists in them.</summary>
    public const int MostJsonDepth = 8;

    /// <summary>Bytes of an MVR file, over all its packets.</summary>
    public const long MostFileBytes = 512L << 20;

    /// <summary>Packets of a message.</summary>
    public const uint MostPackets = 65_536;

    /// <summary>Stations that are known at once.</summary>
    public const int MostStations = 64;

    /// <summary>Commits that are kept of a station, the newest.</summary>
    public const int MostCommits = 100;

    /// <summary>Stations that one commit may name.</summary>
    public const int MostNamed = 256;

    /// <summary>Connections that are served at once, and those of one address.</summary>
    public const int MostConnections = 16;

    public const int MostConnectionsOfOne = 4;

    /// <summary>Own commits that can be asked for, the newest.</summary>
    public const int MostOwnCommits = 4;
}
