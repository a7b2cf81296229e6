"""Passwords that anybody tries first, from memory and of eight letters or more: shorter ones are refused anyway."""

LIST = """
00000000 0000000000 01234567 0123456789 10203040 11111111 1111111111 11223344 12121212 123123123 1234554321 12345678
123456789 1234567890 12344321 123454321 1234abcd 123qwe123 12341234 1q2w3e4r 1q2w3e4r5t 1qaz2wsx 1qazxsw2 22222222
55555555 66666666 69696969 77777777 87654321 88888888 987654321 9876543210 99999999 a1b2c3d4 aaaaaaaa abc12345
abc123456 abcd1234 abcdefgh abcdefg1 access14 admin123 admin1234 adminadmin administrator alexander asdf1234 asdfasdf
asdfghjk asdfghjkl asdfjkl; baseball basketball butterfly changeme changeme1 charlie1 chocolate computer consumer
danielle december default1 dragon12 elephant football football1 freedom1 iloveyou iloveyou1 internet jennifer
jonathan letmein1 letmein123 lovelove mechanic michael1 michelle midnight monkey123 motorbike newyork1 november
october1 p@ssw0rd p@ssword pa$$word pa55word passpass passw0rd password password! password1 password01 password1!
password12 password123 password1234 passwort princess princess1 qazwsxedc qwer1234 qwertyui qwertyuiop qwerty12
qwerty123 qwerty1234 qwertz123 racecar1 rootroot samantha secret12 secret123 september september1 standbook
standbook1 sunshine sunshine1 test1234 testtest trustno1 victoria welcome1 welcome123 whatever william1 workshop
workshop1 xxxxxxxx zaq12wsx zxcvbnm1 zxcvbnm123
"""
COMMON = frozenset(LIST.split())
