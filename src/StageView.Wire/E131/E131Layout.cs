namespace StageView.Wire.E131;

/// <summary>Byte offsets of E1.31 packets; all numbers big-endian (tables 4-1, 5-4, 6-5, 7-8).</summary>
internal static class E131Layout
{
    public const int Preamble = 0;
    public const int Postamble = 2;
    public const int Identifier = 4;
    public const int RootLength = 16;
    public const int RootVector = 18;
    public const int Cid = 22;
    public const int FramingLength = 38;
    public const int FramingVector = 40;

    public const int SourceName = 44;
    public const int SourceNameLength = 64;
    public const int Priority = 108;
    public const int SyncAddress = 109;
    public const int Sequence = 111;
    public const int Options = 112;
    public const int Universe = 113;
    public const int DmpLength = 115;
    public const int DmpVector = 117;
    public const int DmpType = 118;
    public const int FirstProperty = 119;
    public const int Increment = 121;
    public const int PropertyCount = 123;
    public const int StartCode = 125;

    public const int SyncSequence = 44;
    public const int SyncSyncAddress = 45;
    public const int SyncReserved = 47;
    public const int SyncPacketLength = 49;

    public const int DiscoveryReserved = 108;
    public const int DiscoveryListLength = 112;
    public const int DiscoveryListVector = 114;
    public const int DiscoveryPage = 118;
    public const int DiscoveryLastPage = 119;
    public const int DiscoveryList = 120;
    public const int MostUniversesAPage = 512;

    public const uint RootVectorData = 4;
    public const uint RootVectorExtended = 8;
    public const uint FramingVectorData = 2;
    public const uint FramingVectorSync = 1;
    public const uint FramingVectorDiscovery = 2;
    public const uint ListVectorUniverses = 1;

    // The draft of 2014 put discovery into a data packet's framing (to and with the universe) and then pages and list.
    public const uint FramingVectorDraftDiscovery = 4;
    public const int DraftPage = 115;
    public const int DraftLastPage = 116;
    public const int DraftList = 117;

    public const byte OptionPreview = 0x80;
    public const byte OptionTerminated = 0x40;
    public const byte OptionForceSync = 0x20;

    public static ReadOnlySpan<byte> AcnIdentifier => "ASC-E1.17\0\0\0"u8;
}
