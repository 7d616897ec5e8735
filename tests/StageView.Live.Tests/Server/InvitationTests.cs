using System.Net;
using System.Security.Cryptography.X509Certificates;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Server;
using StageView.Show;
using ZXing;
using ZXing.Common;

namespace StageView.Live.Tests.Server;

/// <summary>Links, codes and certificates for other devices.</summary>
public sealed class InvitationTests
{
    private const string Link = "https://[2001:db8::7]:4960/in/k7q4m-2xn9a";

    // Read by another project's reader of ISO/IEC 18004.
    [Theory]
    [InlineData(Link)]
    [InlineData("http://10.0.0.20:4960/in/22222-zzzzz")]
    public void The_code_is_read_as_the_link_off_the_page_and_off_a_terminal(string link)
    {
        var invitation = new Invitation(new Uri(link));
        Assert.Equal(link, Read(Squares(invitation.Svg())));

        // A terminal draws light where there are letters.
        var lines = invitation.Lines().ToList();
        Assert.Equal(link, Read((lines[0].Length, (x, y) => lines[y / 2][x] switch { '█' => false, ' ' => true, '▀' => y % 2 == 1, _ => y % 2 == 0 })));
    }

    [Fact]
    public void A_server_at_any_address_is_reached_at_those_of_the_machine_and_never_at_loopback()
    {
        Assert.Equal([IPAddress.Parse("10.0.0.20")], Invitation.Reachable(IPAddress.Parse("10.0.0.20")));
        Assert.DoesNotContain(Invitation.Reachable(IPAddress.IPv6Any), a => IPAddress.IsLoopback(a) || a.IsIPv6LinkLocal || a.Equals(IPAddress.IPv6Any));
        Assert.All(Invitation.Reachable(IPAddress.Any), a => Assert.Equal(System.Net.Sockets.AddressFamily.InterNetwork, a.AddressFamily));
    }

    [Fact]
    public async Task A_self_made_certificate_serves_the_page_and_stays_until_its_time_is_nearly_over()
    {
        using var folder = new TempFolder();
        var clock = new FakeTimeProvider(TimeProvider.System.GetUtcNow());
        var file = folder["kept/page.pfx"];
        using var certificate = PageCertificate.SelfMade(file, [IPAddress.Parse("192.0.2.7")], clock);
        Assert.True(certificate.MatchesHostname("192.0.2.7") && certificate.MatchesHostname("localhost") && !certificate.MatchesHostname("192.0.2.8"));
        if (!OperatingSystem.IsWindows())
        {
            Assert.Equal(UnixFileMode.UserRead | UnixFileMode.UserWrite, File.GetUnixFileMode(file));
        }

        await using var served = await ServedShow.Start(new LiveServerOptions { Certificate = certificate });
        Assert.Equal("https", served.Server.Address.Scheme);
        string? seen = null;
        using var http = new HttpClient(new SocketsHttpHandler
        {
            SslOptions = new() { RemoteCertificateValidationCallback = (_, c, _, _) => (seen = PageCertificate.Fingerprint((X509Certificate2)c!)) is not null },
        });
        Assert.Contains("<html", await http.GetStringAsync(served.Server.Address, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        var fingerprint = PageCertificate.Fingerprint(certificate);
        Assert.Matches("^([0-9A-F]{2}:){31}[0-9A-F]{2}$", fingerprint);
        Assert.Equal(fingerprint, seen);
        clock.Advance(TimeSpan.FromDays(330));
        Assert.Equal(fingerprint, Fingerprint());
        clock.Advance(TimeSpan.FromDays(10));
        Assert.NotEqual(fingerprint, Fingerprint());
        await File.WriteAllTextAsync(file, "broken", TestContext.Current.CancellationToken);
        Assert.NotEqual(fingerprint, Fingerprint());

        string Fingerprint()
        {
            using var next = PageCertificate.SelfMade(file, [], clock);
            return PageCertificate.Fingerprint(next);
        }
    }

    [Fact]
    public void A_certificate_that_somebody_brings_is_read_with_its_key_and_a_wrong_one_is_named()
    {
        using var folder = new TempFolder();
        using var made = PageCertificate.SelfMade(folder["page.pfx"], [], TimeProvider.System);
        var certificate = folder.File("cert.pem", made.ExportCertificatePem());
        var key = folder.File("key.pem", made.GetECDsaPrivateKey()!.ExportPkcs8PrivateKeyPem());
        using var pem = PageCertificate.Load(certificate, key, null);
        using var pfx = PageCertificate.Load(folder["page.pfx"], null, null);
        Assert.True(pem.HasPrivateKey && pfx.HasPrivateKey);
        Assert.Equal(PageCertificate.Fingerprint(made), PageCertificate.Fingerprint(pem));
        Assert.Contains("cert.pem", Assert.Throws<StopException>(() => PageCertificate.Load(certificate, null, null)).Message, StringComparison.Ordinal);
        Assert.Contains("gone.pfx", Assert.Throws<StopException>(() => PageCertificate.Load(folder["gone.pfx"], null, null)).Message, StringComparison.Ordinal);
    }

    private static string? Read((int Size, Func<int, int, bool> Dark) code)
    {
        const int Scale = 6;
        var side = code.Size * Scale;
        var grey = new byte[side * side];
        for (var i = 0; i < grey.Length; i++)
        {
            grey[i] = code.Dark(i % side / Scale, i / side / Scale) ? (byte)0 : (byte)255;
        }

        var source = new RGBLuminanceSource(grey, side, side, RGBLuminanceSource.BitmapFormat.Gray8);
        return new MultiFormatReader().decode(new BinaryBitmap(new GlobalHistogramBinarizer(source)))?.Text;
    }

    /// <summary>The dark squares of a drawing as its text has them.</summary>
    private static (int Size, Func<int, int, bool> Dark) Squares(string svg)
    {
        var size = int.Parse(svg.Split("viewBox=\"0 0 ")[1].Split(' ')[0]);
        var dark = svg.Split("<path d=\"")[1].Split('"')[0].Split('M', StringSplitOptions.RemoveEmptyEntries)
            .Select(m => m.Split('h')[0].Split(' ')).Select(p => (int.Parse(p[0]), int.Parse(p[1]))).ToHashSet();
        return (size, (x, y) => dark.Contains((x, y)));
    }
}
