using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Descriptions of a few kilobytes that unfold without end.</summary>
public sealed class GdtfBoundsTests
{
    [Fact]
    public void Modes_that_unfold_to_too_many_geometries_in_all_are_refused()
    {
        var geometry = $"<Geometry Name=\"Base\">{Times(1000, i => $"<Beam Name=\"b{i}\"/>")}</Geometry>";
        var budget = new ArchiveBudget();
        var said = Refused(Type(geometry, Times(1000, i => $"<DMXMode Name=\"m{i}\" Geometry=\"Base\"><DMXChannels/></DMXMode>")), budget);
        Assert.Contains("test.gdtf:1: description.xml: error: with this the profiles' modes come to more than 200000 geometries", said,
            StringComparison.Ordinal);
        Assert.Equal(ArchiveBudget.MaxNodes + 1, budget.NodesMade);
    }

    [Fact]
    public void More_modes_than_a_fixture_can_have_are_refused_unread()
    {
        var budget = new ArchiveBudget();
        Assert.Contains("DMXModes holds 10000: at most 2000 are read",
            Refused(Type("<Geometry Name=\"Base\"/>", Times(10_000, i => $"<DMXMode Name=\"m{i}\" Geometry=\"Base\"/>")), budget), StringComparison.Ordinal);
        Assert.Equal(0, budget.NodesMade);
    }

    [Fact]
    public void References_one_in_another_go_so_deep_and_no_deeper()
    {
        var chain = Times(10_000, i => $"<Geometry Name=\"{(i == 0 ? "Base" : $"g{i}")}\"><GeometryReference Name=\"x\" Geometry=\"g{i + 1}\"/></Geometry>");
        var budget = new ArchiveBudget();
        Assert.Contains("nested deeper than 128 geometries", Refused(Type(chain + "<Beam Name=\"g10000\"/>", Mode("")), budget), StringComparison.Ordinal);
        Assert.Equal(128, budget.NodesMade);
    }

    [Fact]
    public void Links_of_each_instance_to_each_are_counted()
    {
        var geometry = $"<Geometry Name=\"Base\">{Times(6000, i => $"<GeometryReference Name=\"x{i}\" Geometry=\"p\"/>")}</Geometry><Beam Name=\"p\"/>";
        var channels = "<DMXChannel Geometry=\"Base\" Offset=\"None\"><LogicalChannel Attribute=\"Zoom\"><ChannelFunction Attribute=\"Zoom\"/></LogicalChannel>"
            + "</DMXChannel>" + Channel("Dimmer");
        var relations = Times(6000, _ => "<Relation Master=\"p_Dimmer\" Follower=\"Base_Zoom\" Type=\"Multiply\"/>");
        var said = Refused(Type(geometry, Mode(channels, $"<Relations>{relations}</Relations>")), new ArchiveBudget());
        Assert.Contains("more than 30000000 instances", said, StringComparison.Ordinal);
    }

    [Fact]
    public void Attributes_without_end_are_refused_before_a_parser_gathers_them()
    {
        var xml = $"<?xml version=\"1.0\"?>\n<!-- don't > -->\n<GDTF {Times(60_000, i => $"a{i}=\">\" ")}/>";
        Assert.Equal("test.gdtf: description.xml: error: a tag of more than 256 KiB at line 3, which is the most that is read",
            GdtfReading.Refused(ArchiveMaker.Gdtf(xml)));
    }

    [Fact]
    public void Elements_and_attributes_are_counted_over_all_files()
    {
        var budget = new ArchiveBudget();
        Assert.True(budget.Xml(ArchiveBudget.MaxXml - 10));
        Assert.Contains("more than 2000000 XML elements and attributes, which is the most that is read (line 1)",
            Refused(Type("<Geometry Name=\"Base\"/>", Mode("")), budget), StringComparison.Ordinal);
    }

    [Fact]
    public void Comments_and_quotes_do_not_make_a_tag_long()
    {
        var many = string.Concat(Enumerable.Repeat("it's <b> \"", 60_000));
        Assert.Equal(0, XmlTags.TooLong(System.Text.Encoding.UTF8.GetBytes($"<a><!-- {many} --><![CDATA[{many}]]><?p {many} ?><b x='>' y=\"'\"/></a>")));
    }

    private static string Times(int count, Func<int, string> make) => string.Concat(Enumerable.Range(0, count).Select(make));

    private static string Channel(string attribute) => $"<DMXChannel Geometry=\"p\" Offset=\"None\"><LogicalChannel Attribute=\"{attribute}\">"
        + $"<ChannelFunction Attribute=\"{attribute}\"/></LogicalChannel></DMXChannel>";

    private static string Mode(string channels, string more = "") =>
        $"<DMXMode Name=\"m\" Geometry=\"Base\"><DMXChannels>{channels}</DMXChannels>{more}</DMXMode>";

    private static string Type(string geometries, string modes) =>
        $"<GDTF><FixtureType Name=\"x\"><Geometries>{geometries}</Geometries><DMXModes>{modes}</DMXModes></FixtureType></GDTF>";

    private static string Refused(string xml, ArchiveBudget budget)
    {
        var problems = new ProblemList();
        Assert.Null(GdtfFile.Read(ArchiveMaker.Gdtf(xml), "test.gdtf", new RigAssets(), RigLoadOptions.Default, problems, budget));
        return Assert.Single(problems.ToList()).ToString();
    }
}
