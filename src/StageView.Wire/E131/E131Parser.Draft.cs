using System.Buffers.Binary;
using StageView.Wire.Datagrams;
using static StageView.Wire.E131.E131Layout;

namespace StageView.Wire.E131;

/// <summary>Discovery as the draft of 2014 laid it out, before it became E1.31-2016's: Debian's ola still sends it.</summary>
public static partial class E131Parser
{
    // The list has no length of its own: it ends where the root layer does.
    private static bool TryDraftDiscovery(ReadOnlySpan<byte> bytes, out E131DiscoveryPacket packet, scoped ref Refusal why)
    {
        packet = default;
        if (!Fixed(BinaryPrimitives.ReadUInt32BigEndian(bytes[FramingVector..]), FramingVectorDraftDiscovery, FramingVector, ref why)
            || !Long(bytes, DraftList, ref why)
            || !Fixed(BinaryPrimitives.ReadUInt16BigEndian(bytes[Universe..]), E131Numbers.DiscoveryUniverse, Universe, ref why))
        {
            return false;
        }

        var end = RootLength + (BinaryPrimitives.ReadUInt16BigEndian(bytes[RootLength..]) & 0x0FFF);
        var listBytes = end - DraftList;
        if (listBytes < 0 || listBytes % 2 != 0 || listBytes > 2 * MostUniversesAPage)
        {
            return Refuse(RefusalKind.BadLength, RootLength, end - RootLength, ref why);
        }

        if (!Long(bytes, end, ref why)
            || !LengthField(bytes, RootLength, end, ref why)
            || !LengthField(bytes, FramingLength, end, ref why))
        {
            return false;
        }

        if (bytes[DraftPage] > bytes[DraftLastPage])
        {
            return Refuse(RefusalKind.BadField, DraftPage, bytes[DraftPage], ref why);
        }

        packet = new E131DiscoveryPacket
        {
            Cid = Datagrams.Cid.Read(bytes[E131Layout.Cid..]),
            SourceName = Name(bytes),
            Page = bytes[DraftPage],
            LastPage = bytes[DraftLastPage],
            List = bytes[DraftList..end],
        };
        return true;
    }
}
