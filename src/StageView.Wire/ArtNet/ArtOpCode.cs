namespace StageView.Wire.ArtNet;

/// <summary>Operation codes, sent little-endian at byte 8.</summary>
public enum ArtOpCode
{
    None = 0,
    Poll = 0x2000,
    PollReply = 0x2100,
    Dmx = 0x5000,
    Nzs = 0x5100,
    Sync = 0x5200,
    TimeCode = 0x9700,
}
