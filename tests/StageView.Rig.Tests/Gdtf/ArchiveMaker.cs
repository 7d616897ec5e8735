using System.IO.Compression;
using System.Text;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Makes archives in memory.</summary>
internal static class ArchiveMaker
{
    public static byte[] Zip(params (string Name, byte[] Bytes)[] entries)
    {
        using var memory = new MemoryStream();
        using (var zip = new ZipArchive(memory, ZipArchiveMode.Create, leaveOpen: true))
        {
            foreach (var (name, bytes) in entries)
            {
                using var s = zip.CreateEntry(name).Open();
                s.Write(bytes);
            }
        }

        return memory.ToArray();
    }

    public static byte[] Gdtf(string xml, params (string Name, byte[] Bytes)[] more) =>
        Zip([("description.xml", Encoding.UTF8.GetBytes(xml)), .. more]);

    /// <summary>A description with the given geometries, channels and what else the type holds.</summary>
    public static string Description(string geometries, string channels, string more = "", string modeMore = "") => $"""
        <?xml version="1.0" encoding="UTF-8"?>
        <GDTF DataVersion="1.2"><FixtureType Name="Test type" Manufacturer="None">
          {more}
          <Geometries>{geometries}</Geometries>
          <DMXModes><DMXMode Name="One" Geometry="Base"><DMXChannels>{channels}</DMXChannels>{modeMore}</DMXMode></DMXModes>
        </FixtureType></GDTF>
        """;

    /// <summary>A channel with one function.</summary>
    public static string Channel(string geometry, string attribute, string offset, string from = "0", string to = "1", string more = "", string brk = "1") =>
        $"""
        <DMXChannel DMXBreak="{brk}" Offset="{offset}" Geometry="{geometry}"><LogicalChannel Attribute="{attribute}">
        <ChannelFunction Name="{attribute} 1" Attribute="{attribute}" PhysicalFrom="{from}" PhysicalTo="{to}" {more}/></LogicalChannel></DMXChannel>
        """;
}
