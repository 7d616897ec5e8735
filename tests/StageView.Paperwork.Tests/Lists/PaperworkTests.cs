using System.Diagnostics;
using System.Globalization;
using System.Xml.Linq;
using StageView.Ground.Drawings;
using StageView.Paperwork.Drawings;
using StageView.Paperwork.Lists;
using StageView.Paperwork.Tests.Drawings;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;

namespace StageView.Paperwork.Tests.Lists;

public sealed class PaperworkTests
{
    private static RigScene Foundry()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out _));
        return rig;
    }

    [Fact]
    public void Lists_say_what_the_rig_holds()
    {
        var rig = Foundry();
        var tables = PaperTables.All(rig);
        Assert.All(tables, t => Assert.All(t.Rows, r => Assert.Equal(t.Columns.Count, r.Count)));
        Assert.Equal(rig.Fixtures.Count, tables[0].Rows.Count);
        Assert.Equal(rig.Fixtures.Count, tables[2].Rows.Sum(r => int.Parse(r[3], CultureInfo.InvariantCulture)));

        // Six heads of 24.5 kg and the truss's own 150 kg.
        var weight = tables.Single(t => t.Name == "weight");
        Assert.Contains(weight.Rows, r => r is ["downstage truss", "in all", "", "147.0", "150.0", "297.0"]);
        Assert.Contains(weight.Notes, n => n.Contains("qualified rigger decides", StringComparison.Ordinal));

        // Ten fronts of 310 W.
        var power = tables.Single(t => t.Name == "power");
        Assert.Contains(power.Rows, r => r is ["house truss", "not stated", "10", "3.10"]);
        Assert.Contains(power.Notes, n => n.Contains("licensed electrician decides", StringComparison.Ordinal));
        Assert.All(tables.Single(t => t.Name == "hang-list").Rows.Where(r => r[0] == "advance pipe"), r => Assert.Equal("7.40", r[1]));
    }

    /// <summary>Quoting after RFC 4180, section 2; cells that start a formula are made plain.</summary>
    [Fact]
    public void Connections_are_a_list_where_the_rig_names_any()
    {
        var rig = Foundry();
        Assert.DoesNotContain(PaperTables.All(rig), t => t.Name == "connections");
        var (a, b) = (rig.Fixtures[0], rig.Fixtures[1]);
        var list = PaperTables.All(rig with { Connections = [new(a.Name, "OUT", b.Name, "IN")] }).Single(t => t.Name == "connections");
        Assert.Equal([a.Name, a.Position, "OUT", b.Name, b.Position, "IN"], Assert.Single(list.Rows));
        Assert.Contains(list.Notes, n => n.Contains("licensed electrician decides", StringComparison.Ordinal));
    }

    [Fact]
    public void Csv_is_quoted_and_no_cell_is_a_formula()
    {
        var csv = TableWriters.Csv(new PaperTable("t", "T", ["a", "b"], [["x, \"y\"", "=1+1"], ["-2.5", "@z"]], []));
        Assert.Equal("a,b\r\n\"x, \"\"y\"\"\",'=1+1\r\n-2.5,'@z\r\n", csv);
    }

    /// <summary>Each line has as many fields as the first, after RFC 4180, section 2.4; the rows are the table's own.</summary>
    [Fact]
    public void Csv_carries_the_notes_in_a_last_column()
    {
        IReadOnlyList<string> notes = ["In all 3.1 kW.", "A licensed electrician decides, here too.", "More."];
        Assert.Equal("a,Notes\r\n1,In all 3.1 kW.\r\n2,\"A licensed electrician decides, here too. More.\"\r\n",
            TableWriters.Csv(new PaperTable("t", "T", ["a"], [["1"], ["2"]], notes)));
        Assert.Equal("a,b,Notes\r\n1,2,More.\r\n3,4,\r\n", TableWriters.Csv(new PaperTable("t", "T", ["a", "b"], [["1", "2"], ["3", "4"]], ["More."])));
        Assert.Equal("a,b,Notes\r\n,,More.\r\n", TableWriters.Csv(new PaperTable("t", "T", ["a", "b"], [], ["More."])));
        foreach (var table in PaperTables.All(Foundry()))
        {
            var csv = TableWriters.Csv(table);
            Assert.Equal(table.Rows.Count + 1, csv.Split("\r\n", StringSplitOptions.RemoveEmptyEntries).Length);
            Assert.All(table.Notes, n => Assert.Contains(n.Replace("\"", "\"\"", StringComparison.Ordinal), csv, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void Html_escapes_names()
    {
        var html = TableWriters.Html(new PaperStamp("<b>", "<i>", "<u>", "0"), [new PaperTable("t", "T", ["a"], [["<script>"]], ["&"])]);
        Assert.DoesNotContain("<script>", html, StringComparison.Ordinal);
        Assert.Contains("&lt;script&gt;", html, StringComparison.Ordinal);
        Assert.DoesNotContain("<i>", html, StringComparison.Ordinal);
    }

    [Fact]
    public void Drawings_are_to_scale()
    {
        var rig = Foundry();
        var drawings = RigDrawings.All(rig, PaperStamp.Of(rig, ""));
        Assert.Equal(["plan", "front", "section"], drawings.Select(d => d.Name));
        var plan = XDocument.Parse(SvgWriter.Write(drawings[0]));
        XNamespace svg = "http://www.w3.org/2000/svg";
        var texts = plan.Descendants(svg + "text").ToList();
        var scale = int.Parse(texts.Select(t => t.Value).First(t => t.StartsWith("Scale 1:", StringComparison.Ordinal))[8..].Split(' ')[0],
            CultureInfo.InvariantCulture);

        // Heads 113 and 118 hang 11.2 m apart: so far apart stand their numbers, 11200 mm over the scale.
        float X(string number) => float.Parse(texts.First(t => t.Value == number).Attribute("x")!.Value, CultureInfo.InvariantCulture);
        Assert.Equal(11200f / scale, X("118") - X("113"), 1);
        var shown = texts.SelectMany(t => DrawingText.Numbers(t.Value)).ToHashSet();
        Assert.All(rig.Fixtures, f => Assert.Contains(int.Parse(f.Number, CultureInfo.InvariantCulture), shown));
    }

    /// <summary>Read by another program (poppler's pdfinfo, pdffonts and pdftotext): pages, sizes to scale, fonts inside, letters of several scripts.</summary>
    [Fact]
    public void Poppler_finds_each_page_its_size_its_fonts_and_letters_of_any_script()
    {
        using var temp = new TempRig();
        var rig = Foundry();
        var words = new Drawing("words", "Words", 210, 100);
        string[] scripts = ["żółć łuk", "Лампа №7", "φώτα 3", "Ærø ÿ (a\\b)"];
        for (var i = 0; i < scripts.Length; i++)
        {
            words.Write(new(20, 20 + (10 * i)), scripts[i], 4, centred: i == 1);
        }

        Drawing[] pages = [.. RigDrawings.All(rig, PaperStamp.Of(rig, "")), .. TablePages.Lay(PaperStamp.Of(rig, ""), PaperTables.All(rig)), words];
        File.WriteAllBytes(Path.Combine(temp.Folder, "paper.pdf"), PdfWriter.Write(pages));
        var info = Poppler(temp.Folder, "pdfinfo", "-f", "1", "-l", "1", "paper.pdf");
        Assert.Matches($@"Pages:\s+{pages.Length}\n", info);
        var size = System.Text.RegularExpressions.Regex.Match(info, @"size:\s+([\d.]+) x ([\d.]+) pts");
        Assert.Equal(pages[0].Width / 25.4 * 72, double.Parse(size.Groups[1].Value, CultureInfo.InvariantCulture), 0.2);
        Assert.Equal(pages[0].Height / 25.4 * 72, double.Parse(size.Groups[2].Value, CultureInfo.InvariantCulture), 0.2);
        var fonts = Poppler(temp.Folder, "pdffonts", "paper.pdf").Split('\n', StringSplitOptions.RemoveEmptyEntries)[2..];
        Assert.NotEmpty(fonts);
        Assert.All(fonts, f => Assert.Matches(@"\byes yes yes\b", f));
        var text = Poppler(temp.Folder, "pdftotext", "-enc", "UTF-8", "paper.pdf", "-");
        Assert.All(scripts, s => Assert.Contains(s, text, StringComparison.Ordinal));
    }

    private static string Poppler(string folder, string program, params string[] how)
    {
        try
        {
            using var run = Process.Start(
                new ProcessStartInfo(program, how) { WorkingDirectory = folder, RedirectStandardError = true, RedirectStandardOutput = true })!;
            var said = run.StandardOutput.ReadToEnd();
            Assert.Equal("", run.StandardError.ReadToEnd());
            run.WaitForExit();
            Assert.Equal(0, run.ExitCode);
            return said;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip($"{program} (Debian: poppler-utils) is not on this machine");
            return "";
        }
    }

    /// <summary>Read and drawn by another program (poppler's pdftoppm): no complaint, and marks on every page.</summary>
    [Fact]
    public void Poppler_draws_every_page()
    {
        using var temp = new TempRig();
        var rig = Foundry();
        var pages = RigDrawings.All(rig, PaperStamp.Of(rig, "")).Concat(TablePages.Lay(PaperStamp.Of(rig, ""), PaperTables.All(rig))).ToList();
        File.WriteAllBytes(Path.Combine(temp.Folder, "paper.pdf"), PdfWriter.Write(pages));
        Poppler(temp.Folder, "pdftoppm", "-gray", "-r", "30", "paper.pdf", "page");
        var drawn = Directory.GetFiles(temp.Folder, "*.pgm");
        Assert.Equal(pages.Count, drawn.Length);
        Assert.All(drawn, f => Assert.True(File.ReadAllBytes(f).Skip(20).Count(b => b < 128) > 100, f));
    }

    [Fact]
    public void What_is_carried_and_what_shares_a_patch_stands_in_the_lists()
    {
        using var temp = new TempRig();
        var rig = temp.Load("""
            { "hangs": [
              { "name": "lift", "profile": "winch-globe", "at": [1, 2, 9], "patch": "1.1" },
              { "name": "rider", "profile": "front-profile", "at": [0, 0, -0.5], "carriedBy": { "fixture": "lift", "part": "carriage" }, "patch": "2.1" },
              { "name": "left", "profile": "front-profile", "at": [-3, 0, 5], "patch": "3.1" },
              { "name": "right", "profile": "front-profile", "at": [3, 0, 5], "sharesPatchOf": "left" } ] }
            """);
        var tables = PaperTables.All(rig).ToDictionary(t => t.Name);
        var rider = tables["hang-list"].Rows.Single(r => r[3] == "rider");
        Assert.Equal(("carried by lift", "1.00", "2.00"), (rider[0], rider[5], rider[6]));
        Assert.Contains(tables["universes"].Rows, r => r[4] == "left with right");
        Assert.Contains(tables["patch-list"].Rows, r => r[1] == "right" && r[6] == "3.1 with left");
        Assert.Contains(tables["weight"].Rows, r => r[1] == "rider" && r[2] == "1.00, 2.00");
        Assert.Equal(4, tables["hang-list"].Rows.Count);
    }
}
