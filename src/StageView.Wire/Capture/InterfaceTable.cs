namespace StageView.Wire.Capture;

/// <summary>What a pcapng reader must know to begin in the middle of a section.</summary>
internal sealed record InterfaceTable(bool BigEndian, CaptureInterface[] Interfaces)
{
    public bool Same(InterfaceTable other) => BigEndian == other.BigEndian && Interfaces.AsSpan().SequenceEqual(other.Interfaces);
}
