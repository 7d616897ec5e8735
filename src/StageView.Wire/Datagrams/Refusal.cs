using System.Globalization;

namespace StageView.Wire.Datagrams;

/// <summary>Why bytes were refused: what is wrong and at which byte.</summary>
/// <param name="Kind">What is wrong.</param>
/// <param name="Offset">Byte offset in the datagram, or its length when it is too short.</param>
/// <param name="Found">The value found there.</param>
public readonly record struct Refusal(RefusalKind Kind, int Offset, long Found)
{
    public static Refusal None => default;

    public override string ToString() => Kind switch
    {
        RefusalKind.None => "accepted",
        RefusalKind.NotThisProtocol => string.Create(CultureInfo.InvariantCulture, $"not this protocol: byte {Offset} differs from its identifier"),
        RefusalKind.TooShort => string.Create(CultureInfo.InvariantCulture, $"cut short: {Offset} bytes, the packet says or needs {Found}"),
        RefusalKind.BadLength => string.Create(CultureInfo.InvariantCulture, $"the length field at byte {Offset} holds {Found}, which doesn't fit the packet"),
        RefusalKind.BadField => string.Create(CultureInfo.InvariantCulture,
            $"the fixed field at byte {Offset} holds {Found}, which the standard doesn't allow"),
        RefusalKind.UniverseOutOfRange => string.Create(CultureInfo.InvariantCulture, $"the universe at byte {Offset} is {Found}; 1 to 63999 are universes"),
        RefusalKind.PriorityOutOfRange => string.Create(CultureInfo.InvariantCulture, $"the priority at byte {Offset} is {Found}; 0 to 200 are priorities"),
        RefusalKind.OldVersion => string.Create(CultureInfo.InvariantCulture, $"the protocol version at byte {Offset} is {Found}; 14 or later is understood"),
        _ => Kind.ToString(),
    };
}
