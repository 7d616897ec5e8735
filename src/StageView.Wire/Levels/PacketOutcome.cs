namespace StageView.Wire.Levels;

/// <summary>What became of one datagram.</summary>
public enum PacketOutcome
{
    /// <summary>Neither E1.31 nor Art-Net, or a part of them that carries no levels.</summary>
    Ignored,

    /// <summary>Claims to be E1.31 or Art-Net but is malformed; see <see cref="UniverseMerger.LastRefusal"/>.</summary>
    Malformed,

    /// <summary>Taken: levels, a termination, a sync, a discovery page.</summary>
    Taken,

    /// <summary>Held until its synchronisation packet.</summary>
    Held,

    /// <summary>The same sequence number as the packet before.</summary>
    Duplicate,

    /// <summary>Older than the packet before.</summary>
    OutOfOrder,

    /// <summary>Preview data that the settings refuse.</summary>
    PreviewRefused,

    /// <summary>A bound on universes, senders or sources was hit.</summary>
    NoRoom,
}
