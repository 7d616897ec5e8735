using System.Net;
using System.Net.Sockets;
using System.Net.WebSockets;
using System.Text;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Server;

namespace StageView.Live.Tests.Server;

public sealed class DoorTests
{
    private static readonly IPAddress Here = IPAddress.Parse("192.0.2.7");
    private static readonly IPAddress There = IPAddress.Parse("192.0.2.9");

    [Fact]
    public void A_key_opens_once_and_the_session_it_opened_goes_on()
    {
        var keys = new DoorKeys(new FakeTimeProvider());
        var key = keys.NewKey(DoorRole.Lead);
        var session = keys.Spend(key);
        Assert.NotNull(session);
        Assert.Null(keys.Spend(key));
        Assert.Equal(DoorRole.Lead, keys.Opens(session));
        Assert.Null(keys.Opens(key));
        Assert.Null(keys.Opens(new string('0', 32)));
    }

    [Fact]
    public void Keys_and_sessions_end()
    {
        var clock = new FakeTimeProvider();
        var keys = new DoorKeys(clock);
        var (key, session) = (keys.NewKey(DoorRole.Lead), keys.Spend(keys.NewKey(DoorRole.Lead)));
        clock.Advance(TimeSpan.FromHours(13));
        Assert.Null(keys.Spend(key));
        Assert.Equal(DoorRole.Lead, keys.Opens(session));
        clock.Advance(TimeSpan.FromHours(25));
        Assert.Null(keys.Opens(session));
    }

    [Theory]
    [InlineData("192.0.2.7:4960", null, nameof(Verdict.HangUp))]
    [InlineData("rebound.example:4960", null, nameof(Verdict.HangUp))]
    public void Another_address_without_a_session_hears_nothing(string host, string? origin, string verdict) =>
        Assert.Equal(verdict, new Doorkeeper(new DoorKeys(TimeProvider.System)).Judge(There, Here, host, origin, null, null, false, out _, out _).ToString());

    [Theory]
    [InlineData("127.0.0.1:4960", null, nameof(Verdict.Enter))]
    [InlineData("localhost:4960", "http://localhost:4960", nameof(Verdict.Enter))]
    [InlineData("127.0.0.1:4960", "http://elsewhere.example", nameof(Verdict.Refuse))]
    [InlineData("127.0.0.1:4960", "http://127.0.0.1:8080", nameof(Verdict.Refuse))]
    [InlineData("rebound.example:4960", null, nameof(Verdict.Refuse))]
    [InlineData("192.0.2.7:4960", null, nameof(Verdict.Refuse))]
    [InlineData("127.0.0.1:4960:1", null, nameof(Verdict.Refuse))]
    [InlineData("", null, nameof(Verdict.Refuse))]
    public void At_loopback_only_our_own_names_and_pages_enter(string host, string? origin, string verdict) =>
        Assert.Equal(verdict, new Doorkeeper(new DoorKeys(TimeProvider.System)).Judge(IPAddress.Loopback, IPAddress.Loopback, host, origin, null, null, false,
            out _, out _).ToString());

    [Fact]
    public void Other_sites_pages_stay_out_even_with_a_session()
    {
        var keys = new DoorKeys(TimeProvider.System);
        var door = new Doorkeeper(keys);
        var entered = door.Judge(There, Here, "192.0.2.7:4960", null, null, keys.NewKey(DoorRole.Lead), false, out var session, out _);
        Assert.Equal(Verdict.EnterWithSession, entered);
        Assert.Equal(Verdict.Enter, door.Judge(There, Here, "192.0.2.7:4960", "http://192.0.2.7:4960", session, null, false, out _, out _));
        Assert.Equal(Verdict.Refuse, door.Judge(There, Here, "192.0.2.7:4960", "http://elsewhere.example", session, null, false, out _, out _));
    }

    [Fact]
    public async Task Over_a_real_address_nothing_is_answered_until_the_key_was_spent()
    {
        if (ServedShow.OtherAddress() is not { } address)
        {
            Assert.Skip("this machine has no address beside loopback");
            return;
        }

        await using var served = await ServedShow.Start(new LiveServerOptions { Address = address });
        var invitation = served.Server.Invite(DoorRole.Lead).Link;
        foreach (var request in new[]
        {
            "GET / HTTP/1.1\r\nHost: {0}\r\n\r\n",
            "GET /live HTTP/1.1\r\nHost: {0}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: "
                + "AAAAAAAAAAAAAAAAAAAAAA==\r\n\r\n",
            "GET /journal.txt HTTP/1.1\r\nHost: {0}\r\nCookie: stageview=00000000000000000000000000000000\r\n\r\n",
            "GET /in/00000-00000 HTTP/1.1\r\nHost: {0}\r\n\r\n",
            "GET /invitation HTTP/1.1\r\nHost: {0}\r\n\r\n", "OPTIONS * HTTP/1.1\r\nHost: {0}\r\n\r\n", "GET / HTTP/1.1\r\nHost: localhost\r\n\r\n",
        })
        {
            // From the outside address to itself: the kernel gives that address as the sender's.
            Assert.Equal("", await Raw(served, string.Format(null, request, served.Server.Address.Authority)));
        }

        using var http = served.Http();
        using var entered = await http.GetAsync(invitation, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.OK, entered.StatusCode);
        Assert.Contains("url=/\"", await entered.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        var cookie = entered.Headers.GetValues("Set-Cookie").Single();
        Assert.Contains("httponly", cookie, StringComparison.OrdinalIgnoreCase);
        Assert.Contains("samesite=strict", cookie, StringComparison.OrdinalIgnoreCase);
        await Assert.ThrowsAnyAsync<HttpRequestException>(() => http.GetAsync(invitation, TestContext.Current.CancellationToken));
        http.DefaultRequestHeaders.Add("Cookie", cookie.Split(';')[0]);
        Assert.Contains("<html", await http.GetStringAsync("/", TestContext.Current.CancellationToken), StringComparison.Ordinal);
        using var socket = await served.Connect(o => o.SetRequestHeader("Cookie", cookie.Split(';')[0]));
        await PageSocket.HearUntil(socket, (t, _) => t == WebSocketMessageType.Binary);
    }

    [Fact]
    public void A_key_is_short_is_typed_as_one_likes_and_says_what_its_device_may_do()
    {
        var keys = new DoorKeys(new FakeTimeProvider());
        var key = keys.NewKey(DoorRole.Look);
        Assert.Matches("^[2-9a-hjkmnp-z]{5}-[2-9a-hjkmnp-z]{5}$", key);
        Assert.Equal(DoorRole.Look, keys.Opens(keys.Spend(key.Replace("-", "", StringComparison.Ordinal).ToUpperInvariant())));
        Assert.Null(keys.Spend("00000-00000"));
        Assert.Equal(200, Enumerable.Range(0, 200).Select(_ => keys.NewKey(DoorRole.Lead)).Distinct().Count());
    }

    // RFC 3986, section 3.2.2: in an address IPv6 stands in brackets. RFC 4007: an interface is no part of the address.
    [Theory]
    [InlineData("2001:db8::7", "[2001:db8::7]:4960", true)]
    [InlineData("2001:db8::7", "[2001:DB8:0::7]:4960", true)]
    [InlineData("2001:db8::7", "[2001:db8::7]", true)]
    [InlineData("fe80::1%3", "[fe80::1]:4960", true)]
    [InlineData("::ffff:192.0.2.7", "192.0.2.7:4960", true)]
    [InlineData("2001:db8::7", "[2001:db8::8]:4960", false)]
    [InlineData("2001:db8::7", "2001:db8::7:4960", false)]
    public void IPv6_is_our_own_name_in_brackets(string local, string host, bool ours)
    {
        var keys = new DoorKeys(TimeProvider.System);
        var verdict = new Doorkeeper(keys).Judge(IPAddress.Parse("2001:db8::9"), IPAddress.Parse(local), host, null, null, keys.NewKey(DoorRole.Lead), false,
            out _, out _);
        Assert.Equal(ours ? Verdict.EnterWithSession : Verdict.HangUp, verdict);
    }

    [Fact]
    public void Over_TLS_our_own_pages_say_https()
    {
        var door = new Doorkeeper(new DoorKeys(TimeProvider.System));
        Verdict From(string origin, bool secure) =>
            door.Judge(IPAddress.Loopback, IPAddress.Loopback, "127.0.0.1:4960", origin, null, null, secure, out _, out _);
        Assert.Equal(Verdict.Enter, From("https://127.0.0.1:4960", true));
        Assert.Equal(Verdict.Refuse, From("http://127.0.0.1:4960", true));
        Assert.Equal(Verdict.Refuse, From("https://127.0.0.1:4960", false));
    }

    [Fact]
    public async Task The_page_is_served_over_IPv6()
    {
        if (!Socket.OSSupportsIPv6 || !System.Net.NetworkInformation.NetworkInterface.GetAllNetworkInterfaces()
            .SelectMany(i => i.GetIPProperties().UnicastAddresses).Any(a => a.Address.Equals(IPAddress.IPv6Loopback)))
        {
            Assert.Skip("this machine has no IPv6");
        }

        await using var served = await ServedShow.Start(new LiveServerOptions { Address = IPAddress.IPv6Loopback });
        Assert.StartsWith("http://[::1]:", served.Server.Address.ToString(), StringComparison.Ordinal);
        using var http = served.Http();
        Assert.Contains("<html", await http.GetStringAsync("/", TestContext.Current.CancellationToken), StringComparison.Ordinal);
        using var socket = await served.Connect();
        await PageSocket.HearUntil(socket, (t, _) => t == WebSocketMessageType.Binary);
    }

    [Theory]
    [InlineData("/../LiveVerb.cs")]
    [InlineData("/..%2f..%2fetc%2fpasswd")]
    [InlineData("/%2e%2e/%2e%2e/%2e%2e/etc/passwd")]
    [InlineData("/....//....//etc/passwd")]
    [InlineData("//etc/passwd")]
    [InlineData("/index.html%00.txt")]
    [InlineData("/\\..\\..\\etc\\passwd")]
    [InlineData("/index.html/")]
    [InlineData("/journal.txt/../../etc/passwd")]
    [InlineData("/Live/Page/index.html")]
    public async Task No_path_leads_out_of_the_page(string path)
    {
        await using var served = await ServedShow.Start();
        var answer = await Raw(served, $"GET {path} HTTP/1.1\r\nHost: {served.Server.Address.Authority}\r\nConnection: close\r\n\r\n");
        Assert.Matches("^HTTP/1.1 4\\d\\d", answer);
        Assert.DoesNotContain("root:", answer, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Writing_methods_and_long_heads_are_refused()
    {
        await using var served = await ServedShow.Start();
        var host = served.Server.Address.Authority;
        Assert.StartsWith("HTTP/1.1 405", await Raw(served, $"DELETE / HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n"), StringComparison.Ordinal);
        Assert.StartsWith("HTTP/1.1 414", await Raw(served, $"GET /{new string('a', 5000)} HTTP/1.1\r\nHost: {host}\r\n\r\n"), StringComparison.Ordinal);
        Assert.StartsWith("HTTP/1.1 431", await Raw(served, $"GET / HTTP/1.1\r\nHost: {host}\r\nX-Long: {new string('a', 40_000)}\r\n\r\n"),
            StringComparison.Ordinal);
    }

    internal static async Task<string> Raw(ServedShow served, string request)
    {
        using var client = new TcpClient();
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        patience.CancelAfter(TimeSpan.FromSeconds(15));
        await client.ConnectAsync(served.Server.Address.Host, served.Server.Address.Port, patience.Token);
        var stream = client.GetStream();
        var answer = new MemoryStream();
        try
        {
            await stream.WriteAsync(Encoding.Latin1.GetBytes(request), patience.Token);
            await stream.CopyToAsync(answer, patience.Token);
        }
        catch (IOException)
        {
            // Hung up on: what was heard before counts.
        }

        return Encoding.Latin1.GetString(answer.ToArray());
    }
}
