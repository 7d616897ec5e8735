namespace StageView.Wire.ArtNet;

/// <summary>Numbers of the Art-Net 4 protocol that more than one file needs.</summary>
public static class ArtNetNumbers
{
    /// <summary>UDP port, 0x1936.</summary>
    public const int Port = 6454;

    /// <summary>Header of ArtDmx; levels follow.</summary>
    public const int DmxHeaderLength = 18;

    public const int LongestDmxPacket = DmxHeaderLength + 512;

    public const int ProtocolVersion = 14;

    /// <summary>Time that a source is held after its last packet while merging.</summary>
    public static readonly TimeSpan LossTimeout = TimeSpan.FromSeconds(10);

    /// <summary>Time without ArtSync after which levels apply at once again.</summary>
    public static readonly TimeSpan SyncTimeout = TimeSpan.FromSeconds(4);
}
